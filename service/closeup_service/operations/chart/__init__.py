"""Charts of set-ups."""
