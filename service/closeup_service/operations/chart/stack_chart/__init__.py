"""`/v1/charts/stack`."""
