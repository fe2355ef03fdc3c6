"""Calibration: how the trial's parameters are fitted to published aggregates, and how far off it stays."""
