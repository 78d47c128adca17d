"""`/v1/cautions`."""
