"""What is measured against."""
