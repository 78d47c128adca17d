"""`/v1/charts/magnification`."""
