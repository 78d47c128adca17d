"""Every promised row has a test, named by its id in a docstring."""

import re
from pathlib import Path

from behaviour import LEFT_TO_THE_PROXY, MUST, SHOULD

DOCSTRING = re.compile(r'def test_\w+\([^"]*?\) -> None:\n    """([^"]+)"""')
ROW = re.compile(r"\b[DSJQPHLO][0-9]{2}\b")


def test_every_row_of_the_behaviour_has_a_test() -> None:
    tested: set[str] = set()
    for module in Path(__file__).parent.glob("test_*.py"):
        for docstring in DOCSTRING.findall(module.read_text(encoding="utf-8")):
            tested |= set(ROW.findall(docstring))
    assert (MUST | SHOULD) - set(LEFT_TO_THE_PROXY) - tested == set()
