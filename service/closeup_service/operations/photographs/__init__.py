"""Photographs decoded in memory, one at a time."""
