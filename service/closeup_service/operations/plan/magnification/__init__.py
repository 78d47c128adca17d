"""`/v1/magnification`."""
