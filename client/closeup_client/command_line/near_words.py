"""The known word that an unknown one may have meant."""

import difflib
from collections.abc import Sequence


def meant(written: str, known: Sequence[str], otherwise: str = "") -> str:
    """Say which known word is near; where none is, say the rest, or else all words that there are."""
    near = difflib.get_close_matches(written, known, n=1)
    return f"did you mean {near[0]}?" if near else otherwise or f"there are {', '.join(known)}."
