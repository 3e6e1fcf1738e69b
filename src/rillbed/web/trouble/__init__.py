"""A way through trouble, from whatever is seen."""
