"""`/v1/scale-reading/comparison`."""
