"""`/v1/depth-of-field`."""
