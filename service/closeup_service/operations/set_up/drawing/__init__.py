"""`/v1/set-ups/drawing`."""
