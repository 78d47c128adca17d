"""A ruler found in a photograph, and what its marks tell."""
