"""Every promised row has a test, named by its id in a docstring."""

import re
from pathlib import Path

from behaviour import LEFT_TO_THE_PROXY, MUST, SHOULD

DOCSTRING = re.compile(r'def test_\w+\([^"]*?\) -> None:\n    """([^"]+)"""')
ROW = re.compile(r"\b[DSJQPHLO][0-9]{2}\b")


def rows_in(folder: Path) -> set[str]:
    found: set[str] = set()
    for module in folder.glob("test_*.py"):
        for docstring in DOCSTRING.findall(module.read_text(encoding="utf-8")):
            found |= set(ROW.findall(docstring))
    return found


def test_every_row_of_the_behaviour_has_a_test() -> None:
    assert (MUST | SHOULD) - set(LEFT_TO_THE_PROXY) - rows_in(Path(__file__).parent) == set()


def test_every_row_left_to_the_proxy_has_a_test_there() -> None:
    assert set(LEFT_TO_THE_PROXY) - rows_in(Path(__file__).parents[1] / "proxy") == set()
