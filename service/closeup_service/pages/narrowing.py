"""For the reading: how far what a rule tells narrows the range of one lens, and of which lenses there are statistics."""

from collections.abc import Mapping, Sequence
from typing import cast

from msgspec import Struct

from closeup_service.advice.figures import InRange, figure_in_range
from closeup_service.estimates.families import FAMILIES
from closeup_service.estimates.statistics import statistics
from closeup_service.language import mark, tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import Members, Studio

LENS: Members = {
    "mounting": "reversed",
    "focal_length_mm": 28.0,
    "camera_register_mm": 44.0,
    "extension_mm": 7.0,
    "estimate_unknown": True,
}
"""The lens of the reading: 28 mm, reversed on 7 mm of rings."""
DEPTH: Members = {"entrance_pupil_depth_mm": 23.0}
LENGTH: Members = {"barrel_length_mm": 47.0}
PUPILS: Members = {"entrance_pupil_diameter_mm": 10.0, "exit_pupil_diameter_mm": 18.0}
FRAME: Members = {
    "measured": [{"mounting": "reversed", "extension_mm": 0.0, "camera_register_mm": 44.0, "magnification": 1.87}]
}
READINGS: Sequence[tuple[str, Members]] = (
    (mark("what stands on the barrel alone"), {}),
    (mark("the barrel is 47 mm long"), LENGTH),
    (mark("the iris seems to lie 23 mm behind the front rim"), DEPTH),
    (mark("length of the barrel and depth of the iris"), {**LENGTH, **DEPTH}),
    (mark("depth of the iris, and pupils of 10 mm from the front and 18 mm from the rear"), {**DEPTH, **PUPILS}),
    (mark("one photograph of a ruler, without rings: 1.87:1"), FRAME),
)
"""What is known of it, and how requests say that."""


class Narrowed(Struct, frozen=True):
    """What is known of the lens, and the magnification that follows."""

    words: str
    magnification: InRange


class Covered(Struct, frozen=True):
    """A kind of lens of which there are statistics: the focal lengths, and how many designs from how many patents."""

    words: str
    from_mm: float
    to_mm: float
    designs: int
    patents: int


def narrowed_ranges(studio: Studio) -> list[Narrowed]:
    """Magnification of the lens of the reading, by what is known of it."""
    return [Narrowed(tr(words), magnification_with(studio, known)) for words, known in READINGS]


def magnification_with(studio: Studio, known: Members) -> InRange:
    """Magnification of the lens of the reading with something known of it."""
    answer = studio.ask("findMagnification", {**LENS, **known})
    assert not isinstance(answer, Refusal)
    ends = cast("Mapping[str, Mapping[str, float]]", answer["ranges"])["magnification"]
    return figure_in_range(cast(float, answer["magnification"]), ends["low"], ends["high"], "magnification", "")


def covered_lenses() -> list[Covered]:
    """Every kind of lens of which there are statistics."""
    return [count_designs(tr(family.words), family.key) for family in FAMILIES]


def count_designs(words: str, key: str) -> Covered:
    """One kind of lens."""
    known = statistics()
    classes = [known.classes[branch.lens_class] for branch in known.families[key]]
    low, high = known.f_valid[key]
    return Covered(words, low, high, sum(each.records for each in classes), sum(each.patents for each in classes))
