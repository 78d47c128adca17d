"""The comparison of two releases' benchmarks names what got slower, and nothing that noise explains."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

COMPARE = Path(__file__).parents[2] / "benchmarks" / "compare.py"
HISTORY = COMPARE.parent / "history"


def row(what: str, value: float, ratio: float | None = None, **more: Any) -> dict[str, Any]:
    against = "" if ratio is None else "floor"
    return {
        "what": what,
        "value": value,
        "against": against,
        "ratio": ratio,
        "spread": 0.02,
        "more_is_better": False,
    } | more


def results(*rows: dict[str, Any], cores: int = 2) -> dict[str, Any]:
    return {"machine": {"cores": cores}, "subjects": {"tables": list(rows)}}


def compared(folder: Path, old: Any, new: Any) -> tuple[int, list[str]]:
    paths = [folder / "old.json", folder / "new.json"]
    for path, told in zip(paths, (old, new), strict=True):
        path.write_text(told if isinstance(told, str) else json.dumps(told))
    ended = subprocess.run([sys.executable, COMPARE, *paths], capture_output=True, text=True, check=False)
    return ended.returncode, (ended.stdout + ended.stderr).splitlines()


def test_what_got_slower_is_named_and_ends_with_1(tmp_path: Path) -> None:
    code, lines = compared(
        tmp_path,
        results(row("table", 1, 1.2), row("start", 1, 1.0)),
        results(row("table", 1, 1.5), row("start", 1, 1.0)),
    )
    assert code == 1
    assert [line for line in lines if line.startswith("slower")] == [
        "slower: tables: table against floor: 1.2 -> 1.5 (x 1.25, noise up to x 1.14)"
    ]


@pytest.mark.parametrize("ratio", [1.2, 1.2 * 1.13, 1.2 / 1.13])
def test_what_noise_explains_is_no_change(tmp_path: Path, ratio: float) -> None:
    code, lines = compared(tmp_path, results(row("table", 1, 1.2)), results(row("table", 1, ratio)))
    assert (code, len(lines)) == (0, 1)


def test_a_noisier_run_needs_a_greater_change(tmp_path: Path) -> None:
    old, new = results(row("table", 1, 1.2, spread=0.2)), results(row("table", 1, 1.5))
    assert compared(tmp_path, old, new)[0] == 0


def test_what_got_faster_is_named_and_is_no_fault(tmp_path: Path) -> None:
    code, lines = compared(tmp_path, results(row("table", 1, 1.5)), results(row("table", 1, 1.0)))
    assert code == 0
    assert lines[0].startswith("faster: tables: table")


def test_fewer_requests_a_second_are_slower(tmp_path: Path) -> None:
    old, new = (results(row("cached", rate, more_is_better=True)) for rate in (5000, 3000))
    assert compared(tmp_path, old, new)[0] == 1
    assert compared(tmp_path, new, old)[0] == 0


def test_plain_figures_of_different_machines_are_not_compared_but_ratios_are(tmp_path: Path) -> None:
    old = results(row("alone", 1.0), row("table", 1, 1.0))
    new = results(row("alone", 9.0), row("table", 9, 1.0), cores=8)
    code, lines = compared(tmp_path, old, new)
    assert code == 0
    assert lines[0] == "Not the same machine or libraries: ratios alone are compared."
    assert lines[-1].startswith("0 of 1 ")


def test_what_is_measured_no_longer_and_what_is_new_is_named(tmp_path: Path) -> None:
    _, lines = compared(tmp_path, results(row("gone", 1, 1.0)), results(row("come", 1, 1.0)))
    assert lines[:2] == ["no longer measured: tables: gone", "new: tables: come"]


@pytest.mark.parametrize("text", ["{", "[]", '{"subjects": {}}'])
def test_a_file_without_results_is_refused_in_one_line(tmp_path: Path, text: str) -> None:
    code, lines = compared(tmp_path, text, results())
    assert code == 2
    assert len(lines) == 1


def test_every_release_of_the_history_can_be_compared(tmp_path: Path) -> None:
    for path in HISTORY.glob("*.json"):
        text = path.read_text()
        assert compared(tmp_path, text, text)[0] == 0
        assert json.loads(text)["quick"] is False
