"""`/v1/working-distance`."""
