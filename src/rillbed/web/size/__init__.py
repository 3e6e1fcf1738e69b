"""Size a loop: for those who have none yet."""
