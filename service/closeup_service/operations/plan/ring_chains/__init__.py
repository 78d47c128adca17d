"""`/v1/ring-chains`."""
