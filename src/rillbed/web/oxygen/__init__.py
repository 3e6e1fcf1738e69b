"""Hours of oxygen: how long fish last when the air stops, what to do in order, and the heat ahead."""
