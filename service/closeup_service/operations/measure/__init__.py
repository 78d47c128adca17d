"""What frames of a ruler tell."""
