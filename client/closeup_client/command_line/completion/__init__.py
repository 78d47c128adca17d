"""The command that prints completion scripts."""
