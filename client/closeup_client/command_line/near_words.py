"""The known word that an unknown one may have meant."""

from collections.abc import Sequence


def nearest(written: str, known: Sequence[str], likeness: float = 0.6) -> list[str]:
    """Return the nearest known word, where one is as like as that."""
    import difflib  # noqa: PLC0415  # for what was not understood alone

    return difflib.get_close_matches(written, known, n=1, cutoff=likeness)


def meant(written: str, known: Sequence[str], otherwise: str = "") -> str:
    """Say which known word is near; where none is, say the rest, or else all words that there are."""
    near = nearest(written, known)
    return f"did you mean {near[0]}?" if near else otherwise or f"there are {', '.join(known)}."
