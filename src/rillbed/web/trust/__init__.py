"""How good the forecasts have been."""
