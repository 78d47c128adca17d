"""`/v1/effective-f-number`."""
