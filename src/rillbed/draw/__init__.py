"""Forecasts and plans into SVG."""
