"""The catalogue of translations: its texts gathered from code, templates and records, and what is compiled of it."""
