"""Logging a test of the water."""
