"""What is measured from frames already taken."""
