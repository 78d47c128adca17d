"""`/v1/set-ups/frame-drawing`."""

from collections.abc import Mapping
from typing import Any

from closeup_service.advice.figures import decimal, percent, ratio
from closeup_service.advice.remark import undetermined_results
from closeup_service.drawing.frame_view import FrameScene, frame_svg, lay_out
from closeup_service.operations.asking.media_types import SVG
from closeup_service.operations.operation import Example, Operation
from closeup_service.operations.set_up.drawn_set_up import DrawnSetUp, drawn_set_up, remarks_on_kit
from closeup_service.operations.set_up.evaluate.operation import CAMERA, REVERSED_35
from closeup_service.operations.set_up.frame_drawing.schemas import FrameDrawingAnswer, FrameDrawingRequest
from closeup_service.schemas.drawn import ASSUMED_WIDTH_PX

Asked = Mapping[str, Any]
NEARLY = 1 + 1e-9
"""A subject may exceed the frame by rounding, as when the set-up is solved for it."""
OF_THE_SUBJECT = ("subject_width_mm", "subject_height_mm")


def answer(asked: Asked) -> dict[str, Any]:
    """Hold the subject against the frame, and its depth against what is sharp."""
    drawn = drawn_set_up({name: value for name, value in asked.items() if name not in OF_THE_SUBJECT})
    told = drawn.told
    width, height = asked["subject_width_mm"], asked.get("subject_height_mm", asked["subject_width_mm"])
    across, high = width / told["subject_width_mm"], height / told["subject_height_mm"]
    return {
        "magnification": told["magnification"],
        "frame_width_mm": told["subject_width_mm"],
        "frame_height_mm": told["subject_height_mm"],
        "subject_width_mm": width,
        "subject_height_mm": height,
        "filled_width_share": across,
        "filled_height_share": high,
        "filled_area_share": min(across, 1.0) * min(high, 1.0),
        "overflows": max(across, high) > NEARLY,
        "depth_of_field": told["depth_of_field"],
        "sharp_depth_share": sharp_share(asked, told),
        **{name: told[name] for name in ("solved", "kit_revision") if name in told},
        "assumed": {**told["assumed"], **assumptions(asked)},
        "remarks": [*undetermined_results(needs(asked, drawn)), *remarks_on_kit(drawn)],
        "cautions": told["cautions"],
    }


def assumptions(asked: Asked) -> dict[str, Any]:
    """What is assumed of the subject and of the drawing."""
    usual = {"/subject_height_mm": asked["subject_width_mm"], "/width_px": ASSUMED_WIDTH_PX}
    return {pointer: value for pointer, value in usual.items() if pointer[1:] not in asked}


def needs(asked: Asked, drawn: DrawnSetUp) -> dict[str, tuple[str, ...]]:
    """Members that would determine what is left open."""
    sharp = drawn.set_up.needs.get("depth_of_field", ())
    depth = () if asked.get("subject_depth_mm") else ("/subject_depth_mm",)
    found = {"depth_of_field": sharp, "sharp_depth_share": tuple(dict.fromkeys((*depth, *sharp)))}
    return {name: members for name, members in found.items() if members}


def sharp_share(asked: Asked, told: Asked) -> float | None:
    """Total depth of field over the depth of the subject."""
    total, depth = told["depth_of_field"]["total_mm"], asked.get("subject_depth_mm")
    return total / depth if total is not None and depth else None


def as_svg(asked: Asked, told: Asked) -> bytes:
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


def frame_texts(told: Asked) -> tuple[str, ...]:
    """How the subject fills the frame, in words."""
    frame = f"Frame: {decimal(told['frame_width_mm'])} x {decimal(told['frame_height_mm'])} mm."
    subject = f"Subject: {decimal(told['subject_width_mm'])} x {decimal(told['subject_height_mm'])} mm."
    filled = (
        f"It takes {percent(told['filled_width_share'])} % of the frame's width and "
        f"{percent(told['filled_height_share'])} % of its height."
    )
    return (frame, subject, filled, *overflow_texts(told))


def overflow_texts(told: Asked) -> tuple[str, ...]:
    """By how much the subject is too large for the frame, in words."""
    if not told["overflows"]:
        return ()
    over = [
        f"{decimal(told[f'subject_{side}_mm'] - told[f'frame_{side}_mm'])} mm too {word}"
        for side, word in (("width", "wide"), ("height", "high"))
        if told[f"filled_{side}_share"] > NEARLY
    ]
    return (f"It overflows the frame: {' and '.join(over)}.",)


def depth_texts(asked: Asked, told: Asked) -> tuple[str, ...]:
    """What is sharp of the depth, in words."""
    depth, whole = told["depth_of_field"], asked.get("subject_depth_mm")
    subject = () if whole is None else (f"The subject is {decimal(whole)} mm deep.",)
    if depth["rear_extent"] == "unlimited":
        return (f"Sharp: from {decimal(depth['front_depth_mm'])} mm before the focus, without end behind it.", *subject)
    if depth["total_mm"] is None:
        return ("What is sharp is not determined.", *subject)
    before, behind = decimal(depth["front_depth_mm"]), decimal(depth["rear_depth_mm"])
    sharp = f"Sharp: {decimal(depth['total_mm'])} mm in all, {before} mm before the focus and {behind} mm behind it."
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
    answer_schema=FrameDrawingAnswer(),
    request_schema=FrameDrawingRequest(),
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
