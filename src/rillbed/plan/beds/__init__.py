"""Planting plans: what to sow, set out and pick, week by week, from what is eaten and what the water carries."""
