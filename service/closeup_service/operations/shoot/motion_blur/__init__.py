"""`/v1/motion-blur`."""
