"""`/v1/focus-stack`."""
