"""The rows of the vocabulary by subject; `vocabulary.py` puts them together, and nothing else reads them."""

from typing import TypeAlias

Row: TypeAlias = tuple[str, str, float | None, float | None, str, str]
"""Name, unit, least and greatest input, label, meaning: what `vocabulary.Quantity` is made of."""
