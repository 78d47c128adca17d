"""Texts are recognized by their sources, in every language, with what fills their places."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.language import ENGLISH, GERMAN, speaking, tr
from closeup_service.pages.fault_rules import RULES
from closeup_service.pages.recognizing import Places, recognize

LANGUAGES = (ENGLISH, GERMAN)
SOURCES = [source for rule in RULES for source in rule.sources]
SIDE_BY_SIDE = "Give a number from {low} to {high}{unit}."
"""Its last two places stand side by side: the second holds what fills both."""
ABSENT = "The kit has no {what} {name}; {hint}."
HINTED = "The working distance is not determined. {pointer}"
FORMS = (
    "{names} is not determined without {members}. {hints}",
    "{names} are not determined without {members}. {hints}",
)


def filled(source: str, fill: str) -> tuple[str, Places]:
    """Text of a source in the language that is spoken, each of its places filled alike but for a number."""
    places = {name: f"{fill}{at}" for at, name in enumerate(dict.fromkeys(names_of(source)))}
    plain = tr(source)
    for _, name, spec, _ in string.Formatter().parse(tr(source)):
        plain = plain.replace(f"{{{name}:{spec}}}" if spec else f"{{{name}}}", places.get(name or "", ""))
    return plain, places


def names_of(source: str) -> list[str]:
    return [name for _, name, _, _ in string.Formatter().parse(source) if name]


@pytest.mark.parametrize("language", LANGUAGES)
@given(source=st.sampled_from(SOURCES), fill=st.text(string.ascii_uppercase, min_size=1))
def test_what_fills_the_places_is_found(language: str, source: str, fill: str) -> None:
    with speaking(language):
        text, places = filled(source, fill)
        found = recognize(text, source)
    if source == SIDE_BY_SIDE:
        assert found is not None
        assert found["high"] + found["unit"] == places["high"] + places["unit"]
    else:
        assert found == places


@pytest.mark.parametrize("language", LANGUAGES)
def test_an_empty_last_place_leaves_no_space(language: str) -> None:
    with speaking(language):
        assert recognize(tr(HINTED, pointer="").strip(), HINTED) == {"pointer": ""}
        assert recognize(tr(HINTED, pointer="Measure it."), HINTED) == {"pointer": "Measure it."}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("number", [0, 1])
def test_both_forms_of_a_text_are_known(language: str, number: int) -> None:
    with speaking(language):
        text, places = (
            filled(FORMS[number], "x") if language == ENGLISH else ("x0 lässt sich nicht bestimmen ohne x1. x2", None)
        )
        assert recognize(text, FORMS) == (places or {"names": "x0", "members": "x1", "hints": "x2"})


@given(text=st.text())
def test_any_other_text_is_not(text: str) -> None:
    assert recognize(f"~{text}", ABSENT) is None
    assert recognize(f"{text}~", ABSENT) is None


def test_words_that_people_gave_are_gone_through_once() -> None:
    hostile = "The kit has no " + "part ; " * 100_000
    assert recognize(hostile, ABSENT) is None
    assert recognize(hostile + ".", ABSENT) is not None
