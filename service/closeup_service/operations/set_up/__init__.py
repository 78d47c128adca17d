"""What one set-up does."""
