"""Codes and numbers into sentences."""
