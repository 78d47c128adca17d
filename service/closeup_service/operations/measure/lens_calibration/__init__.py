"""`/v1/lens-calibration`."""
