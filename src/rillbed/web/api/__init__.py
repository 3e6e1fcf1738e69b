"""The programming interface: the same answers as on the command line, by a token of one's own."""
