"""`/v1/set-ups/drawing`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from closeup_service.advice import drawing_remarks
from closeup_service.advice.figures import decimal, with_range
from closeup_service.drawing.scene import Scene
from closeup_service.drawing.side_view import Layout, lay_out
from closeup_service.drawing.side_view_svg import parts_in_words, side_view_svg
from closeup_service.drawing.svg import as_file
from closeup_service.language import tr
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.drawing.schemas import SetUpDrawingAnswer, SetUpDrawingRequest
from closeup_service.operations.set_up.drawn_set_up import (
    assumed_in_drawing,
    drawn_set_up,
    magnification_in_words,
    places,
    remarks_on_places,
)
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


class DrawnMembers(dict[str, object]):
    """An answer, with what is needed to draw it."""

    def __init__(self, members: answers.PlacesMembers, scene: Scene, layout: Layout) -> None:
        super().__init__(members)
        self.shown_at = magnification_in_words(members, members["magnification"])
        self.scene = scene
        self.layout = layout


def answer(asked: requests.SetUpDrawingRequest) -> DrawnMembers:
    """Place every part along the axis, and lay the drawing out."""
    drawn = drawn_set_up(asked)
    scene = drawn.scene
    layout = lay_out(scene, float(asked.get("width_px", ASSUMED_WIDTH_PX)))
    broken = layout.along.cut is not None
    chosen: dict[str, float | str] = {} if "width_px" in asked else {"/width_px": ASSUMED_WIDTH_PX}
    members: answers.SetUpDrawingAnswer = {
        **places(drawn),
        "scale_broken": broken,
        "assumed": assumed_in_drawing(drawn) | chosen,
        "remarks": [
            *remarks_on_places(drawn),
            *([drawing_remarks.broken_scale()] if broken else []),
            *([drawing_remarks.lowered_subject()] if scene.is_subject_cut else []),
        ],
        "cautions": drawn.told["cautions"],
    }
    return DrawnMembers(members, scene, layout)


def as_svg(asked: requests.SetUpDrawingRequest, told: Mapping[str, object]) -> bytes:
    """Draw the set-up."""
    assert isinstance(told, DrawnMembers)
    width = float(asked.get("width_px", ASSUMED_WIDTH_PX))
    layout = told.layout if told.layout.width == width else lay_out(told.scene, width)
    title = tr("Set-up in side view, {shown_at}", shown_at=told.shown_at)
    return as_file(side_view_svg(told.scene, layout, title, in_words(told.scene, told.shown_at)))


def in_words(scene: Scene, shown_at: str) -> str:
    """Say what the drawing shows."""
    sentences = tr(
        "From the subject to the camera: {parts}; {camera}. The subject stands {where}, and is shown at {shown_at}.",
        parts=parts_in_words(scene.parts),
        camera=scene.camera,
        where=distance_in_words(scene),
        shown_at=shown_at,
    )
    return f"{sentences} {scene.note}".strip()


def distance_in_words(scene: Scene) -> str:
    """How far the subject stands before the front."""
    ranges: Mapping[str, answers.Range] = scene.ranges
    distance = scene.working_distance_mm
    if distance is None:
        return (
            tr("at a working distance that is not told")
            if scene.note
            else tr("at a working distance that is not known")
        )
    return tr(
        "{distance} mm before the front", distance=with_range(distance, ranges.get("working_distance_mm"), decimal)
    )


OPERATION = Operation(
    operation_id="drawSetUp",
    path="/v1/set-ups/drawing",
    tag="set up",
    summary="A set-up in side view, to scale, and the data beside it",
    description=(
        "The set-up document of /v1/set-ups/evaluate, solve and parts of the kit included, and width_px. The answer is a "
        "drawing where the client prefers image/svg+xml, as the img element of any page does; else where every part stands "
        "along the axis, in mm from the subject plane. Diameters, and lengths that no result depends on, are chosen where the "
        "document states none; assumed names them. Where the subject stands far away the drawing is broken, visibly."
    ),
    answer=answer,
    answer_type=SetUpDrawingAnswer,
    request_type=SetUpDrawingRequest,
    by_query="document",
    takes_kit=True,
    renderers={SVG: as_svg},
    examples=(
        Example(
            "reversed-on-rings-drawn",
            "A reversed 35 mm lens on 31 mm of rings (invented kit)",
            {"camera": CAMERA, "train": [REVERSED_35, {"element": "spacer", "length_mm": 31.0}]},
        ),
        Example(
            "kit-on-bellows-drawn",
            "Bellows of the kit, drawn out for a subject 12 mm wide, drawn for a desk's screen (invented kit)",
            {
                "camera": {"use": "field-camera"},
                "train": [
                    {"element": "kit-part", "use": "wide-35", "reversed": True, "f_number": 8},
                    {"element": "kit-part", "use": "step-up-49-52"},
                    {"element": "kit-part", "use": "reversing-52-house"},
                    {"element": "kit-part", "use": "table-bellows"},
                ],
                "solve": {"unknown": "/train/3/length_mm", "target": {"subject_width_mm": 12}},
                "width_px": 900,
            },
        ),
    ),
)
