"""A lens calibrated from frames of a ruler."""
