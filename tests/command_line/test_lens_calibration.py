"""Frames on the command line: one option for each, its data by name=value."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from closeup_service.operations.measure.lens_calibration.operation import OPERATION

Run = Callable[..., tuple[int, str, str]]

FRAMES = ("--frames", "extension=20 magnification=1:3", "--frames", "extension=40", "magnification=2:3")


def test_each_use_of_the_option_is_one_frame(closeup: Run) -> None:
    code, out, _ = closeup("lens-calibration", *FRAMES, "--json")
    assert code == 0
    answer = json.loads(out)
    assert [each["extension_mm"] for each in answer["residuals"]] == [20, 40]


def test_a_refusal_names_the_frame_by_its_number(closeup: Run) -> None:
    code, _, err = closeup("lens-calibration", *FRAMES, "--frames", "extension=60 magnification=1 working-distance=50")
    assert code == 3
    assert "working-distance-uncertainty= of --frames number 3" in err


def test_a_bad_word_in_a_frame_names_the_option(closeup: Run) -> None:
    code, _, err = closeup("lens-calibration", "--frames", "extension=long magnification=1")
    assert code == 2
    assert "--frames" in err


@pytest.mark.usefixtures("wide_terminal")
def test_what_no_cell_can_show_is_left_to_json(closeup: Run, tmp_path: Path) -> None:
    document = tmp_path / "zoom.json"
    document.write_text(json.dumps(OPERATION.examples[-1].request))
    code, out, _ = closeup("lens-calibration", "--document", str(document))
    assert code == 0
    assert "rows, in full with --json" in out
    assert "{" not in out


def test_a_frame_is_told_by_bare_values_as_well(closeup: Run) -> None:
    told = closeup("lens-calibration", "--frames", "20mm 1:3", "--frames", "40mm", "2:3", "--json")
    assert told == closeup("lens-calibration", *FRAMES, "--json")
