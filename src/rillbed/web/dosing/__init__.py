"""The dosing bench: what gets there safely, and what so much of something would do."""
