"""Taking a loop along, and taking one in."""
