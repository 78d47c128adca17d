"""`/v1/set-ups/frame-drawing`."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from closeup_service.advice.figures import decimal, percent, ratio
from closeup_service.advice.remark import undetermined_results
from closeup_service.drawing.frame_view import FrameScene, frame_svg, lay_out
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.drawn_set_up import DrawnSetUp, drawn_set_up, extras_of, remarks_on_kit
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.operations.set_up.frame_drawing.schemas import FrameDrawingAnswer, FrameDrawingRequest
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

NEARLY = 1 + 1e-9
"""A subject may exceed the frame by rounding, as when the set-up is solved for it."""
OF_THE_SUBJECT = ("subject_width_mm", "subject_height_mm")


def answer(asked: requests.FrameDrawingRequest) -> answers.FrameDrawingAnswer:
    """Hold the subject against the frame, and its depth against what is sharp."""
    document = {name: value for name, value in asked.items() if name not in OF_THE_SUBJECT}
    drawn = drawn_set_up(cast("requests.SetUpRequest", document))
    told = drawn.told
    frame_width, frame_height = told["subject_width_mm"], told["subject_height_mm"]
    assert frame_width is not None
    assert frame_height is not None
    width, height = asked["subject_width_mm"], asked.get("subject_height_mm", asked["subject_width_mm"])
    across, high = width / frame_width, height / frame_height
    return {
        "magnification": drawn.set_up.magnification,
        "frame_width_mm": frame_width,
        "frame_height_mm": frame_height,
        "subject_width_mm": width,
        "subject_height_mm": height,
        "filled_width_share": across,
        "filled_height_share": high,
        "filled_area_share": min(across, 1.0) * min(high, 1.0),
        "overflows": max(across, high) > NEARLY,
        "depth_of_field": told["depth_of_field"],
        "sharp_depth_share": sharp_share(asked, told),
        **extras_of(told),
        "assumed": {**told["assumed"], **assumptions(asked)},
        "remarks": [*undetermined_results(needs(asked, drawn)), *remarks_on_kit(drawn)],
        "cautions": told["cautions"],
    }


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


def sharp_share(asked: requests.FrameDrawingRequest, told: answers.SetUpAnswer) -> float | None:
    """Total depth of field over the depth of the subject."""
    total, depth = told["depth_of_field"]["total_mm"], asked.get("subject_depth_mm")
    return total / depth if total is not None and depth else None


def as_svg(asked: requests.FrameDrawingRequest, told: answers.FrameDrawingAnswer) -> bytes:
    """Draw the frame."""
    depth = told["depth_of_field"]
    scene = FrameScene(
        frame_width_mm=told["frame_width_mm"],
        frame_height_mm=told["frame_height_mm"],
        subject_width_mm=told["subject_width_mm"],
        subject_height_mm=told["subject_height_mm"],
        subject_depth_mm=asked.get("subject_depth_mm"),
        front_depth_mm=depth["front_depth_mm"],
        rear_depth_mm=depth["rear_depth_mm"],
        texts=frame_texts(told),
        depth_texts=depth_texts(asked, told),
    )
    layout = lay_out(scene, float(asked.get("width_px", ASSUMED_WIDTH_PX)))
    title = f"Frame with the subject in it, {ratio(told['magnification'])}"
    return frame_svg(scene, layout, title, " ".join((*scene.texts, *scene.depth_texts))).encode()


def frame_texts(told: answers.FrameDrawingAnswer) -> tuple[str, ...]:
    """How the subject fills the frame, in words."""
    frame = f"Frame: {decimal(told['frame_width_mm'])} x {decimal(told['frame_height_mm'])} mm."
    subject = f"Subject: {decimal(told['subject_width_mm'])} x {decimal(told['subject_height_mm'])} mm."
    filled = (
        f"It takes {percent(told['filled_width_share'])} % of the frame's width and "
        f"{percent(told['filled_height_share'])} % of its height."
    )
    return (frame, subject, filled, *overflow_texts(told))


def overflow_texts(told: answers.FrameDrawingAnswer) -> tuple[str, ...]:
    """By how much the subject is too large for the frame, in words."""
    if not told["overflows"]:
        return ()
    sides = (
        (told["subject_width_mm"] - told["frame_width_mm"], told["filled_width_share"], "wide"),
        (told["subject_height_mm"] - told["frame_height_mm"], told["filled_height_share"], "high"),
    )
    over = [f"{decimal(beyond)} mm too {word}" for beyond, share, word in sides if share > NEARLY]
    return (f"It overflows the frame: {' and '.join(over)}.",)


def depth_texts(asked: requests.FrameDrawingRequest, told: answers.FrameDrawingAnswer) -> tuple[str, ...]:
    """What is sharp of the depth, in words."""
    depth, whole = told["depth_of_field"], asked.get("subject_depth_mm")
    front, rear, total = depth["front_depth_mm"], depth["rear_depth_mm"], depth["total_mm"]
    subject = () if whole is None else (f"The subject is {decimal(whole)} mm deep.",)
    if depth["rear_extent"] == "unlimited" and front is not None:
        return (f"Sharp: from {decimal(front)} mm before the focus, without end behind it.", *subject)
    if total is None or front is None or rear is None:
        return ("What is sharp is not determined.", *subject)
    before, behind = decimal(front), decimal(rear)
    sharp = f"Sharp: {decimal(total)} mm in all, {before} mm before the focus and {behind} mm behind it."
    return (sharp, *subject, "The depth is drawn at a scale of its own.")


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
