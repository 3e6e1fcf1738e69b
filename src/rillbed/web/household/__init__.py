"""What the household eats, and what stands on the shelf under its own label."""
