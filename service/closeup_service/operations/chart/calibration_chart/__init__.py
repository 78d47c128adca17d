"""`/v1/charts/calibration`."""
