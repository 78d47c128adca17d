"""`/v1/catalogue/…`."""
