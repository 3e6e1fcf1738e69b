"""What the log says about the members."""
