"""Forecasts worked out beside the pages, kept by what went into them."""
