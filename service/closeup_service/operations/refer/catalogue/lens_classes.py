"""`/v1/catalogue/lens-classes`."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import TYPE_CHECKING

from closeup_service.estimates.families import FAMILIES, Family
from closeup_service.estimates.statistics import Branch, statistics
from closeup_service.language import tr
from closeup_service.operations.operation import Operation
from closeup_service.operations.refer.catalogue.lens_classes_schemas import LensClassesAnswer

if TYPE_CHECKING:
    from closeup_service.records import answers

LIMITS = (
    "They are of published designs, not of the lens in the hand: patents are not sold lenses, and most are of later years. Rim "
    "and mount are assumed, so that rear glass may protrude behind the flange. Everything holds at infinity focus."
)


def answer(asked: Mapping[str, object]) -> answers.LensClassesAnswer:
    """Every family of lenses."""
    del asked
    return {"records": [describe_family(family) for family in FAMILIES]}


def describe_family(family: Family) -> answers.LensClassRecord:
    """One family as a record."""
    about, registers = statistics().about, family.registers
    low, high = family.valid_mm
    return {
        "id": family.name,
        "names": [tr(family.words)],
        "source": f"Lens data published in {about.patents} patents, traced paraxially by ourselves. {LIMITS}",
        "source_status": "published",
        "register_mm": family.register_mm,
        "focal_length_from_mm": low,
        "focal_length_to_mm": high,
        "usual_f_number": family.usual_f_number,
        "taken_from_register_mm": None if registers is None else registers.start,
        "taken_below_register_mm": None if registers is None or not isfinite(registers.end) else registers.end,
        "zoom": None if registers is None else registers.zoom,
        "classes": [describe_class(branch) for branch in family.all_branches],
        "statistics": describe_origin(),
    }


def describe_class(branch: Branch) -> answers.BlendedClass:
    """A class of a family, and over which focal lengths [mm] it blends."""
    lens_class = statistics().classes[branch.lens_class]
    rise, fall = branch.ramp_in or (None, None), branch.ramp_out or (None, None)
    return {
        "id": branch.lens_class.replace("_", "-"),
        "records": lens_class.records,
        "patents": lens_class.patents,
        "blends_in_from_mm": rise[0],
        "blends_in_to_mm": rise[1],
        "blends_out_from_mm": fall[0],
        "blends_out_to_mm": fall[1],
    }


def describe_origin() -> answers.StatisticsOrigin:
    """Where the statistics come from."""
    about = statistics().about
    return {
        "what": about.what,
        "method": about.method,
        "date": about.date,
        "records": about.records,
        "patents": about.patents,
        "records_held_back": about.records_held_back,
        "patents_held_back": about.patents_held_back,
        "limits": LIMITS,
    }


OPERATION = Operation(
    operation_id="listLensClasses",
    path="/v1/catalogue/lens-classes",
    tag="refer",
    summary="Classes of lenses whose unknown data can be estimated, with their source",
    description=(
        "A lens is of the class that lens_class names. Where none is named its register decides, with whether it states the "
        "ends of a zoom: taken_from_register_mm, taken_below_register_mm and zoom say how; without a register it is taken for "
        "a lens of a reflex camera. Within a family the classes blend over the focal lengths given. The statistics are of "
        "published designs, not of the lens in the hand."
    ),
    answer=answer,
    answer_type=LensClassesAnswer,
    by_query="none",
)
