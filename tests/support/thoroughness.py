"""How many random cases are tried: some of them, or with TEST_CASES=full all."""

import os

FULL = os.environ.get("TEST_CASES") == "full"
"""Whether all random cases are tried, as .ci/run does."""

SHARE, FEWEST = 5, 3


def up_to(cases: int) -> int:
    """All of so many random cases, or a fifth of them where they are many."""
    return cases if FULL else min(cases, max(cases // SHARE, FEWEST))
