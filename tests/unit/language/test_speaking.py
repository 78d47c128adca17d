"""Texts in the language that is spoken: English as written, German by the catalogue."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from closeup_service.advice.figures import add_unit, decimal, figure, ratio
from closeup_service.language import ENGLISH, GERMAN, later, speaking, spoken, tr, tr_each, tr_worded

FRAME = "{frames} frame"
FRAMES = "{frames} frames"


def test_english_is_spoken_where_nothing_else_was_asked() -> None:
    assert spoken() == ENGLISH
    assert tr("measure first") == "measure first"
    assert tr("{low} to {high}", low="1.5", high="2") == "1.5 to 2"


def test_german_comes_from_the_catalogue() -> None:
    with speaking(GERMAN):
        assert tr("measure first") == "zuerst messen"
        assert tr("{low} to {high}", low="1", high="2") == "1 bis 2"
    assert tr("measure first") == "measure first"


def test_what_is_in_no_catalogue_stays_as_it_is() -> None:
    with speaking(GERMAN):
        assert tr("normal-50") == "normal-50"
        assert tr("") == ""


@pytest.mark.parametrize(("count", "german"), [(1, "1 Aufnahme"), (0, "0 Aufnahmen"), (3, "3 Aufnahmen")])
def test_the_form_goes_by_the_number(count: int, german: str) -> None:
    with speaking(GERMAN):
        assert tr_each(FRAME, FRAMES, count, frames=count) == german


def test_numbers_have_a_decimal_comma_in_german() -> None:
    with speaking(GERMAN):
        assert decimal(1.25) == "1,25"
        assert ratio(0.4) == "1:2,5"
        assert figure(5.6, "f_number", "") == "f/5,6"
        assert add_unit("1", "stops") == "1 Blenden"
        assert tr("With {share:.0%} of such lenses this cannot be. The ranges are those of the others.", share=0.5)[
            :8
        ] == ("Bei 50\u00a0%")
    assert decimal(1.25) == "1.25"


def test_a_text_worded_beforehand_is_said_in_the_language_of_the_request() -> None:
    refusal = later("Give a number from {low} to {high}{unit}.", low="0.5", high="256", unit="")
    assert refusal == "Give a number from 0.5 to 256."
    assert refusal.format(min=1) == refusal
    with speaking(GERMAN):
        assert tr(refusal) == tr_worded(refusal) == "Eine Zahl von 0,5 bis 256 angeben."
        assert tr_worded("measure first") == "measure first"


def test_each_thread_speaks_for_itself() -> None:
    with speaking(GERMAN), ThreadPoolExecutor(1) as other:
        assert other.submit(spoken).result() == ENGLISH
        assert spoken() == GERMAN
