"""Lenses that lack data on the command line: what a kit lacks, and ranges of set-ups that a search found."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from old_lenses import kit, lens

Run = Callable[..., tuple[int, str, str]]

pytestmark = pytest.mark.usefixtures("wide_terminal")


@pytest.fixture
def kit_file(tmp_path: Path) -> str:
    path = tmp_path / "kit.json"
    path.write_text(json.dumps(kit(lens("old", 28), lens("tele", 135))))
    return str(path)


def test_a_kit_says_what_lenses_lack_and_what_to_measure_first(closeup: Run, kit_file: str) -> None:
    code, printed, _ = closeup("kit", "--kit", kit_file, "--extension-mm", "7", "--mounting", "reversed")
    assert code == 0
    old, tele = (line.split() for line in printed.split("Incomplete lenses")[1].splitlines()[2:4])
    assert old[:3] == ["old", "only", "slr-prime"]
    assert float(old[5]) < float(old[3]) < float(old[6])
    assert tele[3:6] == ["-", "-", "-"]
    assert "Photograph a ruler once" in printed


def test_a_search_tells_ranges_beside_the_medians(closeup: Run, kit_file: str) -> None:
    asked = ("--subject-width-mm", "30", "--camera", "use=body", "--tolerance", "0.15", "--kit", kit_file)
    code, printed, _ = closeup("search", *asked, "--estimate-unknown")
    assert code == 0
    [best, *_] = (line for line in printed.splitlines() if "old reversed" in line)
    assert " to " in best.split(":1)")[1].split("  ")[0]
    assert "coverage" not in printed
    assert "chance" in printed
