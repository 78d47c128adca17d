"""A scale bar for a finished picture, and how a whole folder of pictures gets theirs."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.gear.kit import Kit
from closeup_service.language import tr
from closeup_service.operations.asking.strict_json import JsonDict
from closeup_service.operations.measure.scale_bar.schemas import COLOUR_NAMES, ScaleBarRequest
from closeup_service.pages.task import (
    Choice,
    Drawing,
    Example,
    Group,
    Members,
    Step,
    Task,
    WrittenTable,
    inputs,
    same_names,
)
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.schemas.fields import declared_fields

if TYPE_CHECKING:
    from closeup_service.records.answers import ScaleBarAnswer

BAR = declared_fields(ScaleBarRequest)
COLOURS = tuple(Choice(name, name) for name in COLOUR_NAMES)
WORDS: dict[str, JsonDict] = {
    "magnification": {"own_hint": "With the sensor or its pixel pitch."},
    "scale_px_per_mm": {
        "own_label": "pixels for one mm",
        "own_hint": "In place of the magnification, as the page for rulers gives it.",
    },
    "subject_width_mm": {
        "own_label": "width of the subject in the picture",
        "own_hint": "In place of the magnification: what the whole width of the picture shows.",
    },
    "scale_basis": {
        "own_label": "where the scale comes from",
        "own_choices": (
            Choice("measured", "measured on a ruler"),
            Choice("computed", "calculated from the set-up"),
        ),
        "own_hint": "The label says so of a calculated one.",
    },
    "image_width_px": {"own_label": "width of the picture", "own_hint": "As it came from the camera."},
    "cropped_width_px": {"own_label": "width after the crop"},
    "finished_width_px": {
        "own_label": "width of the finished picture",
        "own_hint": "After it was made smaller or larger.",
    },
    "bar_length_um": {"own_label": "length of the bar", "own_hint": "A round one is chosen where nothing is given."},
    "share": {"own_label": "share of the width for the bar"},
    "colour": {"own_label": "colour of the bar", "own_choices": COLOURS, "own_hint": "White where nothing is chosen."},
    "outline_colour": {
        "own_label": "outline of the bar",
        "own_choices": (Choice("none", "none"), *COLOURS),
        "own_hint": "Black where nothing is chosen.",
    },
}


def write_caption(answer: Members, kit: Kit) -> list[tuple[str, str]]:
    """Caption of the picture."""
    del kit
    told: ScaleBarAnswer = cast("ScaleBarAnswer", answer)
    return [(tr("caption"), told["caption"])]


TASK = Task(
    slug="scale-bar",
    stage="measure",
    title="Scale bar",
    question="How long is one millimetre in my finished picture?",
    lead="Give the scale in one of three ways, and how wide the picture is in pixels. A whole folder is done by one command.",
    description=(
        "Calculate and draw a scale bar of a round length for a close-up picture, through crop and resize to print, and for "
        "a whole folder of pictures."
    ),
    groups=(
        Group(
            "Scale",
            inputs(
                BAR,
                *("magnification", "sensor", "pixel_pitch_um", "scale_px_per_mm", "subject_width_mm", "scale_basis"),
                sensor=SENSOR,
                **WORDS,
            ),
        ),
        Group("Picture", inputs(BAR, "image_width_px", "cropped_width_px", "finished_width_px", **WORDS)),
        Group(
            "The bar",
            inputs(
                BAR,
                *("bar_length_um", "share", "colour", "outline_colour", "bar_height_px", "font_size_px"),
                **WORDS,
            ),
            aside=True,
        ),
        Group(
            "Print, and how sure it is",
            inputs(
                BAR,
                *("print_width_mm", "relative_uncertainty", "subject_depth_mm", "perspective_distance_mm"),
                *("crop_factor", "used_width_mm"),
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "drawScaleBar",
            same_names(BAR),
            (
                *("bar_length_um", "bar_px", "scale_px_per_mm", "subject_width_mm", "drawn_px", "bar_share"),
                *("bar_uncertainty_um", "print_bar_mm", "print_magnification", "depth_scale_change"),
            ),
            (WrittenTable("To set below the picture", ("What", "Text"), write_caption),),
        ),
    ),
    drawings=(Drawing("drawScaleBar", same_names(BAR), "The scale bar for this picture"),),
    first=("bar_length_um", "bar_px", "scale_px_per_mm"),
    examples=(
        Example(
            "A lichen at 1.567:1, pixels of 3.9 µm, printed 20 cm wide",
            {
                "magnification": "1.567:1",
                "pixel_pitch_um": "3.9 µm",
                "image_width_px": "6026",
                "scale_basis": "measured",
                "relative_uncertainty": "0.95 %",
                "print_width_mm": "20 cm",
            },
        ),
        Example(
            "A seed at 2.5:1, cut to 4000 pixels and made 1200 wide for a page",
            {
                "magnification": "2.5:1",
                "sensor": "23.5x15.6",
                "image_width_px": "6026",
                "cropped_width_px": "4000",
                "finished_width_px": "1200",
            },
        ),
    ),
    guide="_bars_for_a_folder.html",
)
