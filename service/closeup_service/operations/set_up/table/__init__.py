"""`/v1/set-ups/table`."""
