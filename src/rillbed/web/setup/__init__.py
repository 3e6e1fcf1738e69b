"""The loop itself: tanks, beds, water, kits and shelf, asked in plain forms."""
