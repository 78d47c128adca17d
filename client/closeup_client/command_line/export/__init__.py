"""The command that writes static pages."""
