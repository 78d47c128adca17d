"""`/v1/scale-reading`."""
