"""`/v1/scale-bar`."""
