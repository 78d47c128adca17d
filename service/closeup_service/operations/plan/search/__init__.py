"""`/v1/set-ups/search`."""
