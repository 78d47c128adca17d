"""What to plan: magnification, gear, adapters."""
