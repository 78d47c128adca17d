"""`/v1/clear-opening`."""
