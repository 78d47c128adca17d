"""Two results side by side, each by its address: what differs, in words and numbers."""
