"""Upkeep: what keeps pumps, pipes and beds going, and when."""
