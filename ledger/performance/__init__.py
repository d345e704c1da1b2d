"""Measures over time, forecasts and the overrun."""
