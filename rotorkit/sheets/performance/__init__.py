"""Sheets of performance: hover, anti-torque, level flight, power-off descent."""
