"""Of several sentences the first is said whose figures are all known."""

from closeup_service.pages.verdicts.words import places, say

TEMPLATES = ("{magnification} and {total} are known.", "{magnification} is known.", "Nothing is known.")


def test_the_first_sentence_is_said_whose_figures_are_known() -> None:
    assert say(TEMPLATES, {"magnification": "2:1", "total": "1 mm"}) == "2:1 and 1 mm are known."
    assert say(TEMPLATES, {"magnification": "2:1", "total": None}) == "2:1 is known."
    assert say(TEMPLATES, {}) == "Nothing is known."
    assert say(TEMPLATES[:2], {}) == ""


def test_a_sentence_begins_with_a_capital_and_an_f_number_keeps_its_small_letter() -> None:
    assert say(("{total} are sharp.",), {"total": "about 1 mm"}) == "About 1 mm are sharp."
    assert say(("{mark} is the mark.",), {"mark": "f/8"}) == "f/8 is the mark."


def test_places_of_a_sentence_are_found() -> None:
    assert places(TEMPLATES[0]) == {"magnification", "total"}
