"""Nutrients: the books of every element, what runs short next, what to add, and what leaves say."""
