"""`/v1/scale-reading/photo`."""
