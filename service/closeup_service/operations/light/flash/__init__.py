"""`/v1/flash`."""
