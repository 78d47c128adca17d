"""`/v1/set-ups/frame-drawing`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from closeup_service.advice.remark import undetermined_results
from closeup_service.drawing.frame_view import FrameScene, frame_svg, lay_out
from closeup_service.drawing.svg import as_file
from closeup_service.language import tr
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.drawn_set_up import (
    DrawnSetUp,
    drawn_set_up,
    extras_of,
    magnification_in_words,
    remarks_on_kit,
)
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.operations.set_up.frame_drawing.filling import (
    Size,
    filled_ranges,
    filling,
    frame_ends,
    sharp_ranges,
)
from closeup_service.operations.set_up.frame_drawing.schemas import FrameDrawingAnswer, FrameDrawingRequest
from closeup_service.operations.set_up.frame_drawing.texts import depth_texts, frame_texts
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

OF_THE_SUBJECT = ("subject_width_mm", "subject_height_mm")


class FrameMembers(dict[str, object]):
    """An answer, with the frame that is drawn, its least and greatest where it is estimated, and a note on that."""

    def __init__(self, members: answers.FrameDrawingAnswer, drawn: DrawnSetUp) -> None:
        super().__init__(members)
        self.told = members
        self.note = drawn.note
        evaluated: answers.SetUpAnswer = drawn.told
        self.ends = frame_ends(evaluated.get("ranges", {}))
        told = Size.from_sides(members["frame_width_mm"], members["frame_height_mm"])
        frame = told or Size.from_sides(drawn.set_up.subject_width_mm, drawn.set_up.subject_height_mm)
        assert frame is not None
        self.frame = frame


def answer(asked: requests.FrameDrawingRequest) -> FrameMembers:
    """Hold the subject against the frame, and its depth against what is sharp."""
    document = {name: value for name, value in asked.items() if name not in OF_THE_SUBJECT}
    drawn = drawn_set_up(cast("requests.SetUpRequest", document))
    told: answers.SetUpAnswer = drawn.told
    size = Size(asked["subject_width_mm"], asked.get("subject_height_mm", asked["subject_width_mm"]))
    members: answers.FrameDrawingAnswer = {
        "magnification": told["magnification"],
        "frame_width_mm": told["subject_width_mm"],
        "frame_height_mm": told["subject_height_mm"],
        "subject_width_mm": size.width,
        "subject_height_mm": size.height,
        **filling(size, Size.from_sides(told["subject_width_mm"], told["subject_height_mm"])),
        "depth_of_field": told["depth_of_field"],
        "sharp_depth_share": sharp_share(asked, told["depth_of_field"]["total_mm"]),
        **extras_of(told, ("magnification", "depth_of_field")),
        "assumed": {**told["assumed"], **assumptions(asked)},
        "remarks": [*drawn.evaluated.notes, *undetermined_results(needs(asked, drawn)), *remarks_on_kit(drawn)],
        "cautions": told["cautions"],
    }
    if "ranges" in told:
        members["ranges"] = {
            **members["ranges"],
            **filled_ranges(size, frame_ends(told["ranges"])),
            **sharp_ranges(asked.get("subject_depth_mm"), told["ranges"]),
        }
    return FrameMembers(members, drawn)


def assumptions(asked: requests.FrameDrawingRequest) -> dict[str, float | str]:
    """What is assumed of the subject and of the drawing."""
    usual: dict[str, float | str] = {"/subject_height_mm": asked["subject_width_mm"], "/width_px": ASSUMED_WIDTH_PX}
    return {pointer: value for pointer, value in usual.items() if pointer[1:] not in asked}


def needs(asked: requests.FrameDrawingRequest, drawn: DrawnSetUp) -> dict[str, tuple[str, ...]]:
    """Members that would determine what is left open."""
    sharp = drawn.set_up.needs.get("depth_of_field", ())
    depth = () if asked.get("subject_depth_mm") else ("/subject_depth_mm",)
    found = {"depth_of_field": sharp, "sharp_depth_share": tuple(dict.fromkeys((*depth, *sharp)))}
    return {name: members for name, members in found.items() if members}


def sharp_share(asked: requests.FrameDrawingRequest, total: float | None) -> float | None:
    """Total depth of field over the depth of the subject."""
    depth = asked.get("subject_depth_mm")
    return total / depth if total is not None and depth else None


def as_svg(asked: requests.FrameDrawingRequest, answered: Mapping[str, object]) -> bytes:
    """Draw the frame."""
    assert isinstance(answered, FrameMembers)
    told: answers.FrameDrawingAnswer = answered.told
    depth = told["depth_of_field"]
    scene = FrameScene(
        frame_width_mm=answered.frame.width,
        frame_height_mm=answered.frame.height,
        subject_width_mm=told["subject_width_mm"],
        subject_height_mm=told["subject_height_mm"],
        subject_depth_mm=asked.get("subject_depth_mm"),
        front_depth_mm=depth["front_depth_mm"],
        rear_depth_mm=depth["rear_depth_mm"],
        texts=tuple(filter(None, (*frame_texts(told), answered.note))),
        depth_texts=depth_texts(asked.get("subject_depth_mm"), told),
        frame_ends_mm=() if answered.ends is None else tuple((each.width, each.height) for each in answered.ends),
    )
    layout = lay_out(scene, float(asked.get("width_px", ASSUMED_WIDTH_PX)))
    title = tr("Frame with the subject in it, {told}", told=magnification_in_words(told, told["magnification"]))
    return as_file(frame_svg(scene, layout, title, " ".join((*scene.texts, *scene.depth_texts))))


OPERATION = Operation(
    operation_id="drawFrame",
    path="/v1/set-ups/frame-drawing",
    tag="set up",
    summary="The frame with the subject in it, to scale, and the data beside it",
    description=(
        "The set-up document of /v1/set-ups/evaluate, with the subject's own width, height and depth in mm, and width_px. The "
        "answer is a drawing where the client prefers image/svg+xml; else how much of the frame the subject takes, whether "
        "it overflows, and how much of its depth is sharp."
    ),
    answer=answer,
    answer_type=FrameDrawingAnswer,
    request_type=FrameDrawingRequest,
    by_query="document",
    takes_kit=True,
    renderers={SVG: as_svg},
    examples=(
        Example(
            "seed-in-the-frame",
            "A seed 8 x 5 mm and 2 mm deep before a reversed 35 mm lens (invented kit)",
            {
                "camera": CAMERA,
                "train": [REVERSED_35, {"element": "spacer", "length_mm": 31.0}],
                "subject_width_mm": 8,
                "subject_height_mm": 5,
                "subject_depth_mm": 2,
            },
        ),
    ),
)
