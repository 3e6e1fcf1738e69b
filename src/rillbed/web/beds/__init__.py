"""Beds: what grows where, room over the year, the planting plan, and what was picked."""
