"""`/v1/scale-bar`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from marshmallow import ValidationError
from msgspec import Struct

from closeup_service.advice import scale_remarks
from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.drawing import scale_bar as drawing
from closeup_service.drawing.scale_bar import Bar
from closeup_service.language import tr
from closeup_service.measuring import scale_bar as measuring
from closeup_service.measuring.scale_reading import picture_pixel, picture_scale, standard_uncertainty
from closeup_service.operations.asking.media_types import PNG, SVG
from closeup_service.operations.measure.scale_bar.schemas import ScaleBarAnswer, ScaleBarRequest
from closeup_service.operations.measure.scale_reading.operation import pitch_mm
from closeup_service.operations.operation import Example, Operation
from closeup_service.optics.motion import UM_PER_MM
from closeup_service.schemas.fields import with_assumed
from closeup_service.schemas.used_sensor import used_width_mm
from closeup_service.worked.board import Step
from closeup_service.worked.measuring import scale_bar_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

ASSUMED_SHARE = 0.2
LEAST_FONT_PX = 12.0
PLAIN = {"scale_basis": "computed", "colour": "white", "outline_colour": "black"}


class Picture(Struct, frozen=True):
    """The finished picture: its width in pixels, and its scale in pixels per mm of the subject."""

    width_px: float
    scale: float


def answer(asked: requests.ScaleBarRequest) -> answers.ScaleBarAnswer:
    """Bar of a round length for the finished picture, with its caption and its drawing."""
    assumed = assumptions(asked)
    data = with_assumed(asked, assumed)
    picture = finished(data)
    length_um = length_of(data, picture)
    bar_px = measuring.drawn_length(length_um, picture.scale)
    label, said = label_of(length_um, data["scale_basis"]), caption(data, length_um, picture)
    change, print_magnification = depth_scale_change(asked), magnification_of_the_print(asked, picture)
    return {
        "bar_length_um": length_um,
        "bar_px": bar_px,
        "drawn_px": float(max(1, round(bar_px))),
        "bar_share": measuring.width_share(bar_px, picture.width_px),
        "label": label,
        "caption": said,
        "scale_px_per_mm": picture.scale,
        "subject_width_mm": measuring.shown_width(picture.width_px, picture.scale),
        "bar_uncertainty_um": bar_uncertainty(asked, length_um),
        "depth_scale_change": change,
        "print_bar_mm": None if print_magnification is None else measuring.drawn_length(length_um, print_magnification),
        "print_magnification": print_magnification,
        "assumed": assumed,
        "svg": drawing.svg(drawn_bar(data, bar_px, label, said)),
        "remarks": remarks(asked, bar_px, change),
        "cautions": [],
    }


def assumptions(asked: requests.ScaleBarRequest) -> dict[str, float | str]:
    """What is assumed of the picture's history and of the bar's looks."""
    kept = asked.get("cropped_width_px", asked["image_width_px"])
    width = asked.get("finished_width_px", kept)
    height = asked.get("bar_height_px", max(1.0, float(round(width / 200))))
    assumed: dict[str, float | str] = {
        **PLAIN,
        "cropped_width_px": kept,
        "finished_width_px": width,
        "bar_height_px": min(height, 500.0),
        "font_size_px": min(max(LEAST_FONT_PX, 4 * height), 500.0),
    }
    if "bar_length_um" not in asked:
        assumed["share"] = ASSUMED_SHARE
    return {name: value for name, value in assumed.items() if name not in asked}


def finished(data: requests.ScaleBarRequest) -> Picture:
    """Follow the scale from the picture as taken through crop and resizing."""
    kept, width = data["cropped_width_px"], data["finished_width_px"]
    return Picture(width, measuring.finished_scale(scale_as_taken(data), kept, width))


def scale_as_taken(asked: requests.ScaleBarRequest) -> float:
    """Pixels per mm of the subject in the picture as taken, by whichever route is given."""
    if "scale_px_per_mm" in asked:
        return float(asked["scale_px_per_mm"])
    if "subject_width_mm" in asked:
        return measuring.scale_by_width(asked["image_width_px"], asked["subject_width_mm"])
    pixel = pixel_mm(asked)
    assert pixel is not None
    return picture_scale(asked["magnification"], pixel)


def pixel_mm(asked: requests.ScaleBarRequest) -> float | None:
    """Size on the sensor of one pixel of the picture as taken, mm."""
    return picture_pixel(pitch_mm(asked), used_width_mm(asked), asked["image_width_px"])


def full_resolution_taken(asked: requests.ScaleBarRequest) -> bool:
    """Whether the picture's pixels were taken as the sensor's, with nothing to check them by."""
    return "pixel_pitch_um" in asked and used_width_mm(asked) is None


def length_of(data: requests.ScaleBarRequest, picture: Picture) -> float:
    """Length that the bar stands for, um: the one asked for, or the longest round one within the share."""
    width_um = measuring.shown_width(picture.width_px, picture.scale) * UM_PER_MM
    if "bar_length_um" not in data:
        return measuring.round_length(data["share"] * width_um)
    length = float(data["bar_length_um"])
    if length > width_um * measuring.NEARLY:
        text = tr(
            "The finished picture shows only {width_um} um of the subject: ask for a shorter bar.",
            width_um=decimal(width_um, 4),
        )
        raise ValidationError({"bar_length_um": [text]})
    return length


def label_of(length_um: float, basis: str) -> str:
    """Label of the bar; that of a computed scale says so."""
    text = measuring.length_text(length_um)
    return tr("{text} (computed)", text=text) if basis == "computed" else text


def caption(data: requests.ScaleBarRequest, length_um: float, picture: Picture) -> str:
    """Sentence for below the picture."""
    text = tr(
        "Scale bar: {length_um}; scale {scale_basis}, {scale} pixels per mm in a picture {width_px} pixels wide",
        length_um=measuring.length_text(length_um),
        scale_basis=data["scale_basis"],
        scale=decimal(picture.scale, 4),
        width_px=decimal(picture.width_px, 6),
    )
    if "relative_uncertainty" in data:
        text += tr(
            "; standard uncertainty {relative_uncertainty} %",
            relative_uncertainty=percent(data["relative_uncertainty"], 2),
        )
    return f"{text}."


def depth_scale_change(asked: requests.ScaleBarRequest) -> float | None:
    """Growth of the scale towards the subject's nearest point; None where its depth or the pupil's distance is open."""
    if "perspective_distance_mm" not in asked:
        return None
    return measuring.depth_change(asked["perspective_distance_mm"], asked["subject_depth_mm"])


def magnification_of_the_print(asked: requests.ScaleBarRequest, picture: Picture) -> float | None:
    """Magnification of the print, where there is one."""
    if "print_width_mm" not in asked:
        return None
    return measuring.print_magnification(asked["print_width_mm"], picture.scale, picture.width_px)


def bar_uncertainty(asked: requests.ScaleBarRequest, length_um: float) -> float | None:
    """Standard uncertainty of the bar, um, where that of the scale is given."""
    return standard_uncertainty(length_um, asked["relative_uncertainty"]) if "relative_uncertainty" in asked else None


def bar_of(asked: requests.ScaleBarRequest, told: answers.ScaleBarAnswer) -> Bar:
    """What is drawn, from the request and its answer."""
    return drawn_bar(with_assumed(asked, told["assumed"]), told["bar_px"], told["label"], told["caption"])


def drawn_bar(data: requests.ScaleBarRequest, bar_px: float, label: str, said: str) -> Bar:
    """Bar with its label, as it is drawn."""
    return Bar(
        length_px=bar_px,
        height_px=data["bar_height_px"],
        label=label if data.get("show_label", True) else "",
        font_size_px=data["font_size_px"],
        colour=data["colour"],
        outline_colour=data["outline_colour"],
        title=tr("Scale bar, {label}", label=label),
        description=said,
    )


def remarks(asked: requests.ScaleBarRequest, bar_px: float, scale_change: float | None) -> list[Remark]:
    """What is worth knowing about the bar."""
    missing: dict[str, tuple[str, ...]] = {}
    if "relative_uncertainty" not in asked:
        missing["bar_uncertainty_um"] = ("/relative_uncertainty",)
    if "print_width_mm" not in asked:
        missing |= dict.fromkeys(("print_bar_mm", "print_magnification"), ("/print_width_mm",))
    if scale_change is None:
        needs = [name for name in ("subject_depth_mm", "perspective_distance_mm") if name not in asked]
        missing["depth_scale_change"] = tuple(f"/{name}" for name in needs)
    resized = {"cropped_width_px", "finished_width_px"} & set(asked)
    return [
        *([scale_remarks.computed_scale()] if asked.get("scale_basis") != "measured" else []),
        *scale_remarks.drawn_pixels(bar_px, max(1, round(bar_px))),
        *scale_remarks.depth_scale_change(scale_change),
        *scale_remarks.scaled_picture(pixel_mm(asked), pitch_mm(asked)),
        *([scale_remarks.assumed_full_resolution()] if full_resolution_taken(asked) else []),
        *([scale_remarks.stacked_picture()] if resized else []),
        *undetermined_results(missing),
    ]


def steps(asked: requests.ScaleBarRequest, answer: answers.ScaleBarAnswer) -> list[Step]:
    """Steps of the bar."""
    return scale_bar_steps(asked, answer, pixel_mm(asked))


def as_svg(asked: requests.ScaleBarRequest, told: answers.ScaleBarAnswer) -> bytes:
    """Return the drawing alone."""
    del asked
    return str(told["svg"]).encode()


def as_png(asked: requests.ScaleBarRequest, told: answers.ScaleBarAnswer) -> bytes:
    """Return the drawing in whole pixels."""
    return drawing.png(bar_of(asked, told))


OPERATION = Operation(
    operation_id="drawScaleBar",
    path="/v1/scale-bar",
    tag="measure",
    summary="Scale bar of a round length for the finished picture",
    description=(
        "From the magnification with pixel_pitch_um or the sensor, from scale_px_per_mm, or from subject_width_mm; through "
        "cropping and resizing to the finished picture, and on to a print. Gives the longest of 1, 2, 5, 10, ... that fits the "
        "share, its exact length in pixels, a caption, and the bar itself: as a member of the JSON, or alone with Accept: "
        "image/svg+xml or image/png."
    ),
    answer=answer,
    answer_type=ScaleBarAnswer,
    request_type=ScaleBarRequest,
    renderers={SVG: as_svg, PNG: as_png},
    steps=steps,
    examples=(
        Example(
            "lichen-measured",
            "A lichen at a magnification read from a ruler, with its uncertainty (invented kit)",
            {
                "magnification": 1.567,
                "pixel_pitch_um": 3.9,
                "image_width_px": 6026,
                "scale_basis": "measured",
                "relative_uncertainty": 0.0095,
                "print_width_mm": 200,
            },
        ),
        Example(
            "seed-stacked-and-cut",
            "A seed from a stack, cut to 4000 pixels and scaled to 1200 for a page, scale computed (invented kit)",
            {
                "magnification": 2.5,
                "sensor": "23.5x15.6",
                "image_width_px": 6026,
                "cropped_width_px": 4000,
                "finished_width_px": 1200,
                "subject_depth_mm": 1.5,
                "perspective_distance_mm": 62,
            },
        ),
        Example(
            "bar-of-a-chosen-length",
            "A bar of 2.5 mm in black for a picture 15 mm wide (invented kit)",
            {
                "subject_width_mm": 15,
                "image_width_px": 3000,
                "bar_length_um": 2500,
                "colour": "black",
                "outline_colour": "#ffffff",
                "scale_basis": "measured",
                "bar_height_px": 12,
                "font_size_px": 44,
            },
        ),
    ),
)
