"""`/v1/diffraction`."""
