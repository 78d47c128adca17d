"""`/v1/lens-estimate`."""
