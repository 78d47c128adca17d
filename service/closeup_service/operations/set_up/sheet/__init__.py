"""`/v1/set-ups/sheet`."""
