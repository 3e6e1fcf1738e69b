"""Source water: what is in it, what that means for fish and plants, and what builds up."""
