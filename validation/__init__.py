"""Validation: what published ponds did against what the model expects. Verification stands in tests/published."""
