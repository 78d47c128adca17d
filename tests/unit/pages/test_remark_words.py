"""Remarks on pages say what to enter, not what is not determined, in every language."""

import re
from collections.abc import Callable

import pytest

from closeup_service.advice import calibration_remarks, exposure_remarks, motion_remarks, photo_remarks, stack_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.language import ENGLISH, GERMAN, speaking
from closeup_service.pages.recognizing import recognize
from closeup_service.pages.remark_words import REWORDINGS, put_remark_in_words

ADVICE = ("best", "advice")
NEEDED = "/sensor_detail_lp_per_mm"
MEASURE = "/train/0/front_principal_plane_mm"
REMARKS: tuple[Callable[[], Remark], ...] = (
    lambda: undetermined_results(dict.fromkeys(ADVICE, (NEEDED,)))[0],
    lambda: undetermined_results({"clearance_mm": (MEASURE,)})[0],
    lambda: calibration_remarks.open_quantities(["pupil_magnification"])[0],
    exposure_remarks.missing_viewing_mark,
    lambda: motion_remarks.ambient_light(None, None)[0],
    lambda: motion_remarks.missing_allowed_blur(["longest_time_s"]),
    lambda: photo_remarks.unknown_tilt(0.0012, 2.5),
    lambda: photo_remarks.zones_without_marks(["left", "right"])[0],
    photo_remarks.grey_photograph,
    photo_remarks.uneven_ground,
    lambda: stack_remarks.time([], ["settle_s", "exposure_time_s"])[0],
)
"""Every remark that leaves something open, as the operations word it."""
BEGINNINGS = {ENGLISH: "Left out of the result", GERMAN: "Nicht im Ergebnis"}
NO_WORDS = re.compile(r"not determined|lässt sich|lassen sich|[a-z]_[a-z]|[{}]")


@pytest.mark.parametrize("language", BEGINNINGS)
@pytest.mark.parametrize("remark", REMARKS)
def test_what_is_left_open_says_what_to_enter(remark: Callable[[], Remark], language: str) -> None:
    with speaking(language):
        told = put_remark_in_words(remark()["text"], ("part A",))
    assert told.startswith(BEGINNINGS[language])
    assert not NO_WORDS.search(told), told


def test_every_rewording_is_of_a_remark() -> None:
    texts = [remark()["text"] for remark in REMARKS]
    for each in REWORDINGS:
        assert any(recognize(text, each.source) is not None for text in texts), each.source


@pytest.mark.parametrize(
    ("language", "words"),
    [
        (
            ENGLISH,
            "Left out of the result: best mark for the detail, advice on one frame or a stack. To calculate that, enter: "
            "detail on the sensor.",
        ),
        (
            GERMAN,
            "Nicht im Ergebnis: beste Blendenstufe für das Detail, Rat: eine Aufnahme oder ein Stapel. Dafür eingeben: "
            "Einzelheit auf dem Sensor.",
        ),
    ],
)
def test_results_and_data_are_told_in_words(language: str, words: str) -> None:
    with speaking(language):
        assert put_remark_in_words(REMARKS[0]()["text"]) == words


@pytest.mark.parametrize("language", BEGINNINGS)
def test_any_other_remark_stays_as_it_is(language: str) -> None:
    with speaking(language):
        assert put_remark_in_words("Light is lost.") == "Light is lost."
