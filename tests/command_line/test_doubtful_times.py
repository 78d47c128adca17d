"""A shutter time of whole seconds: 125 on a camera's dial is 1/125 s, so the command says what it read."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]
BLUR = ("motion-blur", "--magnification", "1", "--sideways-speed-mm-s", "2", "--exposure-time-s")
EXPOSURE = ("exposure", "--planned", "magnification=3", "--unknown", "exposure-time", "--reference", "f/8", "1x")


def test_whole_seconds_of_an_option_are_said_with_what_else_may_be_meant(closeup: Run) -> None:
    code, out, err = closeup(*BLUR, "125")
    assert (code, err) == (0, "Read --exposure-time-s as 125 s. If 1/125 s is meant, write 1/125; else 125s.\n")
    assert "125 s" in out


def test_whole_seconds_of_a_group_are_said_by_its_words(closeup: Run) -> None:
    code, _, err = closeup(*EXPOSURE, "time=60")
    assert (code, err) == (0, "Read time= of --reference as 60 s. If 1/60 s is meant, write 1/60; else 60s.\n")


@pytest.mark.parametrize("typed", ["1/125", "125s", "0.5", "1", "2.5"])
def test_what_says_its_unit_or_is_a_fraction_is_taken_without_a_word(closeup: Run, typed: str) -> None:
    assert closeup(*BLUR, typed)[2] == ""


def test_data_for_programs_stay_as_they_were(closeup: Run) -> None:
    _, said, err = closeup(*BLUR, "125", "--json")
    assert err.startswith("Read --exposure-time-s as 125 s.")
    assert json.loads(said) == json.loads(closeup(*BLUR, "125s", "--json")[1])


def test_a_document_is_strict_and_asks_nothing(closeup: Run, tmp_path: Path) -> None:
    path = tmp_path / "frame.json"
    known = {"magnification": 1, "f_number": 8, "exposure_time_s": 125}
    document = {"reference": known, "planned": {"magnification": 3, "f_number": 8}, "unknown": "exposure_time_s"}
    path.write_text(json.dumps(document), encoding="utf-8")
    code, _, err = closeup("exposure", "--document", str(path))
    assert (code, err) == (0, "")
