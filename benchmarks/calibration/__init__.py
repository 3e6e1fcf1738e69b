"""Whether bands hold what they say: synthetic loops from wrong models, coarse kits and careless keepers."""
