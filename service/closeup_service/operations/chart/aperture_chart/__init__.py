"""`/v1/charts/aperture`."""
