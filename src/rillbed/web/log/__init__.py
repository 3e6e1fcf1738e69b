"""The one log table."""
