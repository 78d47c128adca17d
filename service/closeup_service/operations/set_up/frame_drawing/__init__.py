"""`/v1/set-ups/frame-drawing`."""
