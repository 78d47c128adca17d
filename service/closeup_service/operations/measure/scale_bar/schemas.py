"""`/v1/scale-bar`: a scale bar for the finished picture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.language import later, tr
from closeup_service.schemas.answers import TEXT, AnswerSchema
from closeup_service.schemas.fields import Flag, Pattern, Text, exactly_one, quantity, result
from closeup_service.schemas.sensor import names_of_the_sensor
from closeup_service.schemas.used_sensor import UsedSensorFields, states_used_width

if TYPE_CHECKING:
    from closeup_service.records import requests

ROUTES = ("magnification", "scale_px_per_mm", "subject_width_mm")
OF_THE_SENSOR = ("pixel_pitch_um", "used_width_mm", "crop_factor", *names_of_the_sensor())
SCALE_BASES = ("measured", "computed")
COLOUR_NAMES = ("black", "white", "grey", "red", "yellow", "lime", "cyan", "blue", "magenta")
COLOUR = rf"^({'|'.join(COLOUR_NAMES)}|#[0-9a-fA-F]{{6}})$"
OUTLINE = COLOUR.replace("^(", "^(none|")
LONGEST_SVG = 8000
LONGEST_LABEL = 60


class Colour(fields.String):
    """A colour: one of a few names, or #rrggbb."""

    def __init__(self, pattern: str, beside: str, meaning: str) -> None:
        refusal = later("Give one of: {names}; or #rrggbb{beside}.", names=", ".join(COLOUR_NAMES), beside=beside)
        super().__init__(
            validate=[validate.Length(1, 10, error=refusal), Pattern(pattern, error=refusal)],
            error_messages={"invalid": refusal, "null": refusal},
            metadata={"description": f"{meaning} One of {', '.join(COLOUR_NAMES)}, or #rrggbb{beside}."},
        )


class ScaleBarRequest(UsedSensorFields):
    """The scale by one of three routes, what became of the picture since, and how the bar is to look."""

    magnification = quantity("magnification")
    scale_px_per_mm = quantity("scale_px_per_mm")
    subject_width_mm = quantity("subject_width_mm")
    image_width_px = quantity("image_width_px", required=True, meaning="Width of the picture in which the scale holds.")
    cropped_width_px = quantity("cropped_width_px")
    finished_width_px = quantity("finished_width_px")
    relative_uncertainty = quantity(
        "relative_uncertainty", meaning="Relative standard uncertainty of the scale, as /v1/scale-reading gives it."
    )
    scale_basis = Text(
        SCALE_BASES,
        metadata={
            "description": "Whether the scale was measured on a ruler or computed from the set-up; the label says so of a "
            "computed one. Assumed computed."
        },
    )
    share = quantity("share")
    bar_length_um = quantity("bar_length_um", meaning="Length that the bar stands for, in place of a round one.")
    subject_depth_mm = quantity("subject_depth_mm")
    perspective_distance_mm = quantity("perspective_distance_mm")
    print_width_mm = quantity("print_width_mm", meaning="Width of the print of the whole finished picture.")
    colour = Colour(COLOUR, "", "Colour of bar and label, assumed white.")
    outline_colour = Colour(OUTLINE, "; none for no outline", "Colour of the outline, assumed black.")
    show_label = Flag(metadata={"description": "Whether the length is written above the bar; assumed true."})
    bar_height_px = quantity("bar_height_px")
    font_size_px = quantity("font_size_px")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_route_to_the_scale(self, data: object, original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse none or several statements of the scale, and a magnification without pixels."""
        del data, kwargs
        route = exactly_one(original, *ROUTES)
        of_the_sensor = [name for name in OF_THE_SENSOR if name in original]
        if route == "magnification":
            if "pixel_pitch_um" not in original and not states_used_width(original):
                text = tr("Needed with magnification: pixel_pitch_um, or the sensor or its used width.")
                raise ValidationError(text, "pixel_pitch_um")
        elif of_the_sensor:
            text = tr(
                "It counts for nothing beside {route}, which gives the scale of the picture by itself: leave it out.",
                route=route,
            )
            raise ValidationError({name: [text] for name in of_the_sensor})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_statement_of_the_bar(self, data: object, original: Mapping[str, object], **kwargs: object) -> None:
        """Refuse a share beside a length, and members that count for nothing without another."""
        del data, kwargs
        if "share" in original and "bar_length_um" in original:
            text = tr("Give the length of the bar, or the share of the picture that a round length may fill.")
            raise ValidationError({"share": [text], "bar_length_um": [text]})
        if "perspective_distance_mm" in original and "subject_depth_mm" not in original:
            text = tr("Needed with perspective_distance_mm: the depth over which the scale changes.")
            raise ValidationError(text, "subject_depth_mm")

    @validates_schema(skip_on_field_errors=False)
    def require_a_crop_is_a_part(self, data: requests.ScaleBarRequest, **kwargs: object) -> None:
        """Refuse a crop wider than the picture."""
        del kwargs
        whole, kept = data.get("image_width_px"), data.get("cropped_width_px")
        if whole is not None and kept is not None and kept > whole:
            raise ValidationError(
                tr("A crop leaves at most the picture's width, {whole:g} pixels.", whole=whole), "cropped_width_px"
            )


class ScaleBarAnswer(AnswerSchema):
    """The bar's length on the subject, in the finished picture and on the print, and the bar itself as SVG."""

    bar_length_um = result("bar_length_um", nullable=False)
    bar_px = result("bar_px", nullable=False)
    drawn_px = result("drawn_px", nullable=False)
    bar_share = result("bar_share", nullable=False)
    label = fields.String(
        required=True,
        validate=[validate.Length(1, LONGEST_LABEL), TEXT[1]],
        metadata={"description": "Length with its unit, and whether the scale was computed."},
    )
    caption = fields.String(
        required=True, validate=TEXT, metadata={"description": "Sentence to set below the picture."}
    )
    scale_px_per_mm = result(
        "scale_px_per_mm", meaning="Pixels of the finished picture that draw one mm of the subject.", nullable=False
    )
    subject_width_mm = result(
        "subject_width_mm", meaning="Width of the subject in the finished picture.", nullable=False
    )
    bar_uncertainty_um = result("bar_uncertainty_um")
    depth_scale_change = result("depth_scale_change")
    print_bar_mm = result("print_bar_mm")
    print_magnification = result("print_magnification")
    svg = fields.String(
        required=True,
        validate=[validate.Length(1, LONGEST_SVG), validate.Regexp(r"^<svg [^\x00-\x1f]*</svg>$")],
        metadata={"description": "The bar as SVG on a transparent ground; the same as with Accept: image/svg+xml."},
    )
