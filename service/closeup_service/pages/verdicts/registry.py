"""Which rules write the first sentence of a page, by the operations that answered it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from closeup_service.pages.verdicts.case import Case, Told
from closeup_service.pages.verdicts.headlines.framing import (
    case_of_framing,
    case_of_search,
    headline_of_framing,
    headline_of_search,
)
from closeup_service.pages.verdicts.headlines.lenses import (
    case_of_lens,
    headline_of_calibration,
    headline_of_lens,
    headline_of_rings,
)
from closeup_service.pages.verdicts.headlines.light import case_of_light, headline_of_light
from closeup_service.pages.verdicts.headlines.measuring import case_of_reading, headline_of_reading
from closeup_service.pages.verdicts.headlines.one_lens import case_of_one_lens, headline_of_sharpness
from closeup_service.pages.verdicts.headlines.set_up import case_of_set_up, headline_of_set_up
from closeup_service.pages.verdicts.headlines.shooting import (
    case_of_bar,
    case_of_movement,
    case_of_opening,
    case_of_stack,
    headline_of_bar,
    headline_of_movement,
    headline_of_opening,
    headline_of_stack,
)
from closeup_service.pages.verdicts.rules import Verdict, judge


class Headline(Struct, frozen=True):
    """For answers of an operation: the figures that are judged, and the first sentences."""

    operation_id: str
    case: Callable[[Told], Case]
    sentences: Callable[[Told], Sequence[str]]


class Said(Struct, frozen=True):
    """What a page says first: at most two sentences, and the verdicts."""

    sentences: Sequence[str] = ()
    verdicts: Sequence[Verdict] = ()


HEADLINES = (
    Headline("evaluateSetUp", case_of_set_up, headline_of_set_up),
    Headline("searchSetUps", case_of_search, headline_of_search),
    Headline("estimateLens", case_of_lens, headline_of_lens),
    Headline("calibrateLens", case_of_lens, headline_of_calibration),
    Headline("findRingChains", case_of_lens, headline_of_rings),
    Headline("findFocusStack", case_of_stack, headline_of_stack),
    Headline("findMotionBlur", case_of_movement, headline_of_movement),
    Headline("findClearOpening", case_of_opening, headline_of_opening),
    Headline("findMagnification", case_of_framing, headline_of_framing),
    Headline("findDepthOfField", case_of_one_lens, headline_of_sharpness),
    Headline("findOptimumAperture", case_of_one_lens, headline_of_sharpness),
    Headline("findDiffraction", case_of_one_lens, headline_of_sharpness),
    Headline("findEffectiveFNumber", case_of_light, headline_of_light),
    Headline("findExposure", case_of_light, headline_of_light),
    Headline("findFlash", case_of_light, headline_of_light),
    Headline("findFormatEquivalence", case_of_one_lens, headline_of_sharpness),
    Headline("readScalePhoto", case_of_reading, headline_of_reading),
    Headline("readScale", case_of_reading, headline_of_reading),
    Headline("drawScaleBar", case_of_bar, headline_of_bar),
)
"""The first whose operation answered is taken."""


def say_first(told: Told) -> Said:
    """What is said first of some answers; nothing where no rule knows their operations."""
    found = next((each for each in HEADLINES if each.operation_id in told.answers), None)
    return Said() if found is None else Said(found.sentences(told), judge(found.case(told)))
