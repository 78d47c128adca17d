"""`/v1/format-equivalence`."""
