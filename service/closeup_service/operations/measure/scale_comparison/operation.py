"""`/v1/scale-reading/comparison`."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import TYPE_CHECKING

from msgspec import Struct

from closeup_service.advice import photo_remarks
from closeup_service.advice.remark import Remark, undetermined_results
from closeup_service.language import mark, tr
from closeup_service.measuring.ruler.records import RulerReading
from closeup_service.operations.asking.effort import in_turn
from closeup_service.operations.measure.scale_photo import operation as scale_photo
from closeup_service.operations.measure.scale_photo.examples import COMPARISON_EXAMPLES
from closeup_service.operations.measure.scale_photo.schemas import ZONES, ScaleComparisonAnswer, ScaleComparisonRequest
from closeup_service.operations.operation import Operation
from closeup_service.operations.photographs.decoding import Photograph, decoded
from closeup_service.optics.errors import FramesDiffer, OpticsError

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

MOST_SCALE_DIFFERENCE = 0.01
ALIKE = 0.03
KEPT = ("depth-reduced", "first-picture-only", "pitch-doubtful", "frame-turned", "picture-scaled", "errors-not-counted")
"""Codes of remarks on single photographs that hold for the comparison."""


class Frame(Struct, frozen=True):
    """What is kept of a photograph once it was read; its pixels are let go before the next one is decoded."""

    number: int
    size: tuple[int, int]
    kind: str
    told: answers.ScalePhotoAnswer
    reading: RulerReading

    @property
    def widths(self) -> list[float | None]:
        """Width of the edges zone by zone, um on the subject."""
        return [found.edge_width_um if found else None for found in self.reading.sharpness]


def answer(asked: requests.ScaleComparisonRequest) -> answers.ScaleComparisonAnswer:
    """Compare the photographs, read one after another."""
    with in_turn(asked["photo"][0].patience):
        frames = [frame_of(asked, index) for index in range(len(asked["photo"]))]
    refuse_differing(frames)
    scores = scores_of([frame.widths for frame in frames])
    best = None if None in scores else 1 + scores.index(max(filter(None, scores)))
    return {
        "best_frame": best,
        "frames": [compared(frame, frames[0], score) for frame, score in zip(frames, scores, strict=True)],
        "zones": [zone(index, frames) for index in range(len(ZONES))],
        "assumed": assumed(frames),
        "remarks": remarks(asked, frames, scores),
        "cautions": [],
    }


def frame_of(asked: requests.ScaleComparisonRequest, index: int) -> Frame:
    """Decode and read one photograph."""
    pointer = f"/photo/{index}"
    photograph = decoded(asked["photo"][index], pointer)
    try:
        reading = scale_photo.reading_of(photograph, asked, pointer)
    except OpticsError as error:
        raise type(error)(tr("Photograph {index}: {error}", index=index + 1, error=error), *error.members) from None
    size = (photograph.width_px, photograph.height_px)
    return Frame(index + 1, size, kind_of(photograph), scale_photo.told(asked, photograph, reading), reading)


def assumed(frames: Sequence[Frame]) -> dict[str, float]:
    """What was assumed of any photograph, the largest where they differ."""
    told: dict[str, float] = {}
    for frame in frames:
        told |= {name: max(float(value), told.get(name, -inf)) for name, value in frame.told["assumed"].items()}
    return told


def kind_of(photograph: Photograph) -> str:
    """Depth and colours, which follow from how a photograph was developed."""
    text = mark("{bits} bits in colour") if photograph.in_colour else mark("{bits} bits in grey")
    return tr(text, bits=photograph.bits_used)


def refuse_differing(frames: Sequence[Frame]) -> None:
    """Refuse photographs of another size, depth or magnification than the first."""
    first = frames[0]
    texts: dict[str, str] = {}
    for frame in frames[1:]:
        change, number = scale_change(frame, first), frame.number
        if frame.size != first.size:
            why = tr(
                "photograph {number} is {own}, the first {first}", number=number, own=pixels(frame), first=pixels(first)
            )
        elif frame.kind != first.kind:
            why = tr(
                "photograph {number} has {own}, the first {first}", number=number, own=frame.kind, first=first.kind
            )
        elif abs(change) > MOST_SCALE_DIFFERENCE:
            why = tr(
                "photograph {number} has a scale that differs from the first's by {change:+.1%}; up to {most:.0%} is compared",
                number=number,
                change=change,
                most=MOST_SCALE_DIFFERENCE,
            )
        else:
            continue
        texts[f"/photo/{frame.number - 1}"] = why
    if texts:
        raise FramesDiffer(tr("These photographs do not compare: {texts}.", texts="; ".join(texts.values())), *texts)


def pixels(frame: Frame) -> str:
    """Size in words."""
    return tr("{width} x {height} pixels", width=frame.size[0], height=frame.size[1])


def scale_change(frame: Frame, first: Frame) -> float:
    """Scale over that of the first, less 1."""
    return float(frame.told["scale_px_per_mm"] / first.told["scale_px_per_mm"] - 1)


def scores_of(widths: Sequence[Sequence[float | None]]) -> list[float | None]:
    """Mean, over the zones in every photograph, of the narrowest edge there over the photograph's own."""
    shared = [zone for zone in zip(*widths, strict=True) if all(width is not None and width > 0 for width in zone)]
    if not shared:
        return [None] * len(widths)
    return [sum(min(zone) / zone[index] for zone in shared) / len(shared) for index in range(len(widths))]


def compared(frame: Frame, first: Frame, score: float | None) -> answers.ComparedFrame:
    """One photograph in the answer."""
    told: answers.ScalePhotoAnswer = frame.told
    return {
        "frame": frame.number,
        "sharpness_score": score,
        "scale_difference": scale_change(frame, first),
        "scale_px_per_mm": told["scale_px_per_mm"],
        "magnification": told["magnification"],
        "relative_uncertainty": told["relative_uncertainty"],
        "tilt_deg": told["tilt_deg"],
        "distortion": told["distortion"],
        "lateral_colour_um": told["lateral_colour_um"],
        "fall_off_stops": told["fall_off_stops"],
        "marks_used": told["marks_used"],
    }


def zone(index: int, frames: Sequence[Frame]) -> answers.ComparedZone:
    """One zone in the answer."""
    widths = [frame.widths[index] for frame in frames]
    known = [(width, 1 + place) for place, width in enumerate(widths) if width is not None]
    return {
        "zone": ZONES[index],
        "best_frame": min(known)[1] if len(known) > 1 else None,
        "edge_widths_um": widths,
    }


def remarks(
    asked: requests.ScaleComparisonRequest, frames: Sequence[Frame], scores: Sequence[float | None]
) -> list[Remark]:
    """What is worth knowing about the comparison."""
    known = [score for score in scores if score is not None]
    notes = [photo_remarks.score_meaning()] if known else [photo_remarks.missing_common_zone()]
    close = [1 + place for place, score in enumerate(scores) if score is not None and score >= max(known) * (1 - ALIKE)]
    notes += photo_remarks.small_difference(close)
    of_frames = {note["code"]: note for frame in frames for note in frame.told["remarks"] if note["code"] in KEPT}
    if frames[0].told["magnification"] is None:
        notes += undetermined_results({"magnification": ("/pixel_pitch_um",)})
    if any(frame.told["tilt_deg"] is None for frame in frames):
        notes += undetermined_results({"tilt_deg": ("/perspective_distance_mm",)})
    if any(frame.told["lateral_colour_um"] is None for frame in frames):
        notes += [photo_remarks.grey_photograph()]
    if any(frame.told["fall_off_stops"] is None for frame in frames):
        notes += [photo_remarks.uneven_ground()]
    return [*notes, *of_frames.values(), photo_remarks.edge_direction()]


OPERATION = Operation(
    operation_id="compareScalePhotos",
    path="/v1/scale-reading/comparison",
    tag="measure",
    summary="Which of several photographs of a ruler is sharper, zone by zone",
    description=(
        "Two to six photographs of the same ruler at the same magnification, to choose a lens, a zoom setting, a focus or an "
        "aperture by: sharpness in nine zones, scale, distortion, lateral colour and fall-off of light of each, and the best "
        "one in each zone and over all. Refuses photographs that do not compare: other sizes, other depth or colours, or "
        "scales that differ by more than 1 %. The photographs are kept nowhere."
    ),
    answer=answer,
    answer_type=ScaleComparisonAnswer,
    request_type=ScaleComparisonRequest,
    examples=COMPARISON_EXAMPLES,
)
