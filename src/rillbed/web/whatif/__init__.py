"""Two futures side by side."""
