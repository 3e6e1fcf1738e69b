"""Rillbed: log, chemistry, fish, bacteria and beds of one loop of water in one model."""

__version__ = "0.1.0"
