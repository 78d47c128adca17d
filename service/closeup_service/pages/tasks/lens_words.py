"""What is known of a lens, in words: each datum with its range, the figure that matters, and what to measure next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from closeup_service.advice.figures import figure, figure_in_range, percent
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.task import Members
from closeup_service.schemas.describing import label

if TYPE_CHECKING:
    from closeup_service.records.answers import LensDatum, LensEstimateAnswer

BASES = {
    "lens-class": mark("published designs"),
    "measured": mark("published designs and what is known of this lens"),
    "stated": mark("given"),
}
TOLD = {
    "magnification": mark("magnification"),
    "effective_f_number": mark("effective f-number"),
    "working_distance_mm": mark("working distance"),
    "subject_to_sensor_mm": mark("distance from subject to sensor"),
}
KINDS = {
    "barrel": mark("length of the barrel"),
    "iris-depth": mark("depth of the iris"),
    "pupils": mark("both pupils"),
    "iris-depth-and-pupils": mark("depth of the iris, and both pupils"),
    "frame-reversed": mark("a photograph of a ruler, the lens reversed"),
    "frame-normal": mark("a photograph of a ruler, the lens on its mount"),
}
WORTH_MAKING = 0.99
"""Share of the range below which a measurement that leaves it is listed: others bring nothing."""


def write_data(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """Each datum of the lens with its range, and what it is based on."""
    del kit
    told: LensEstimateAnswer = cast("LensEstimateAnswer", answer)
    data = cast("Mapping[str, LensDatum]", told["lens"])
    return [write_datum(name, datum) for name, datum in data.items()]


def write_datum(name: str, datum: LensDatum) -> tuple[str, ...]:
    """One datum."""
    value, low, high, basis = datum["value"], datum["low"], datum["high"], tr(BASES[datum["based_on"]])
    unit = VOCABULARY[name].unit
    if low == high:
        return (label(name), figure(value, name, unit), "", basis)
    told = figure_in_range(value, low, high, name, unit)
    return (label(name), told.about, told.between, basis)


def write_next(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """What could be measured, best first."""
    del kit
    told: LensEstimateAnswer = cast("LensEstimateAnswer", answer)
    return [
        (tr(KINDS[each["kind"]]), f"{each['minutes']} min", f"{percent(each['remaining_share'], 2)} %", each["how"])
        for each in told["next_measurements"]
        if each["remaining_share"] < WORTH_MAKING
    ]


def write_figure(answer: Members, kit: Kit) -> list[tuple[str, ...]]:
    """The figure that matters, where it is another one than the magnification, which stands above."""
    del kit
    answered: LensEstimateAnswer = cast("LensEstimateAnswer", answer)
    told = answered["figure"]
    name, value, low, high = told["name"], told["value"], told["low"], told["high"]
    if name == "magnification":
        return []
    if value is None or low is None or high is None:
        return [(tr(TOLD[name]), tr("not known yet: measure first"), "")]
    found = figure_in_range(value, low, high, name, VOCABULARY[name].unit)
    return [(tr(TOLD[name]), found.about, found.between)]
