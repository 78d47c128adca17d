"""Frames of a ruler as a form asks for them, a few fields each, and as a request takes them."""

from collections.abc import Iterator

from closeup_service.language import later
from closeup_service.operations.measure.lens_calibration.schemas import CalibrationFrameSchema
from closeup_service.pages.task import Input, Members, number_of
from closeup_service.schemas.fields import declared_fields

FRAME = declared_fields(CalibrationFrameSchema)
MOST, SHOWN = 8, 3
"""Frames that the form takes, and those of them that are not folded away."""
EXTENSION, MAGNIFICATION, DISTANCE = "extension_{}_mm", "magnification_{}", "working_distance_{}_mm"
READING, DISTANCE_READING = "relative_uncertainty", "working_distance_uncertainty_mm"


def frame_fields(first: int, last: int) -> tuple[Input, ...]:
    """Two fields for each of these frames: how far the lens was extended, and what was read."""
    return tuple(each for number in range(first, last + 1) for each in fields_of_frame(number))


def fields_of_frame(number: int) -> Iterator[Input]:
    """Fields of one frame."""
    yield Input(
        EXTENSION.format(number),
        "extension_mm",
        FRAME["extension_mm"],
        later("rings and tubes of frame {number}", number=number),
        "All that stands between lens and camera.",
        optional=True,
    )
    yield Input(
        MAGNIFICATION.format(number),
        "magnification",
        FRAME["magnification"],
        later("magnification of frame {number}", number=number),
        "As you read it on the ruler.",
        optional=True,
    )


def distance_fields() -> tuple[Input, ...]:
    """Working distance of each frame, and how sure they are."""
    each = FRAME["working_distance_mm"]
    distances = tuple(
        Input(
            DISTANCE.format(number),
            "working_distance_mm",
            each,
            later("working distance of frame {number}", number=number),
            "From the front of the set-up to the ruler.",
            optional=True,
        )
        for number in range(1, MOST + 1)
    )
    sure = Input(
        *(DISTANCE_READING, DISTANCE_READING, FRAME[DISTANCE_READING], "each distance is sure within"),
        "As a standard uncertainty, such as 0.5 mm.",
    )
    return (*distances, sure)


def frames_of(members: Members, places: dict[str, str]) -> Iterator[Members]:
    """Frames that the form gives, in the order of its fields; `places` learns which field each member comes from."""
    at = 0
    for number in range(1, MOST + 1):
        frame = frame_of(members, number)
        if not frame:
            continue
        start = f"/frames/{at}"
        places |= {
            f"{start}/extension_mm": EXTENSION.format(number),
            f"{start}/magnification": MAGNIFICATION.format(number),
            f"{start}/magnification_uncertainty": READING,
            f"{start}/working_distance_mm": DISTANCE.format(number),
            f"{start}/working_distance_uncertainty_mm": DISTANCE_READING,
        }
        at += 1
        yield frame


def frame_of(members: Members, number: int) -> dict[str, object]:
    """One frame; a reading that is sure to a share of itself is so within that share."""
    names = {"extension_mm": EXTENSION, "magnification": MAGNIFICATION, "working_distance_mm": DISTANCE}
    frame = {member: members[name.format(number)] for member, name in names.items() if name.format(number) in members}
    share, magnification = number_of(members, READING), number_of(frame, "magnification")
    if share is not None and magnification is not None:
        frame |= {"magnification_uncertainty": share * magnification}
    if "working_distance_mm" in frame and DISTANCE_READING in members:
        frame[DISTANCE_READING] = members[DISTANCE_READING]
    return frame
