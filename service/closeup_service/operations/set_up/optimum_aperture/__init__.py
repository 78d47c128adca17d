"""`/v1/optimum-aperture`."""
