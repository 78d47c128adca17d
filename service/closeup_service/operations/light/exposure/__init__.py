"""`/v1/exposure`."""
