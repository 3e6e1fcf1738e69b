"""A calendar of all loops of a person, for the calendar on their phone."""
