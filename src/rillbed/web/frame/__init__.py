"""What stands around every page: the loop line, the list of pages, and which loop is meant."""
