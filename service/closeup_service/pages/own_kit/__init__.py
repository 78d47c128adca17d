"""Somebody's own kit without a server that keeps it: read, shown, changed part by part, and taken along by forms."""
