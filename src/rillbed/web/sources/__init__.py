"""Every figure behind the answers, with its source and grade."""
