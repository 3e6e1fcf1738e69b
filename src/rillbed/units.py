"""Quantities, canonical units and conversions: the only place with conversion factors."""
