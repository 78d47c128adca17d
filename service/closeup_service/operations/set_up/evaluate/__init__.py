"""`/v1/set-ups/evaluate`."""
