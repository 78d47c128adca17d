"""How a lens is measured with a rule and a camera, in words for a photographer at the table.

The ways and the minutes are common practice, no source.
"""

from typing import Final

from msgspec import Struct

from closeup_service.advice.figures import STATED_DIGITS, decimal
from closeup_service.language import mark, tr


class Way(Struct, frozen=True):
    """How something is measured, which members of a request take what was read, and how long it takes."""

    words: str
    members: tuple[str, ...]
    minutes: int


BARREL = mark(
    "Focus the lens on infinity and lay it on the table on its mount. Measure from the front rim to the "
    "mount flange, the face that touches the camera.",
)
DEPTH = mark(
    "Stop the lens down and look into its front from about a metre away. Hold a pin beside the barrel "
    "and move it along the barrel until it and the iris stay together when you move your head sideways. "
    "Measure how far the pin stands behind the front rim.",
)
PUPILS = mark(
    "Open the lens to one stop short of full. Hold a rule across the front, look from about a metre "
    "away, and read how wide the iris appears. Turn the lens round, leave the stop as it is, and read "
    "the same through its rear.",
)
FRAME = mark(
    "Lay a ruler flat, square to the camera, and photograph it with the lens {standing}, focused on "
    "infinity, on a camera of register {register} mm with {extension}. Move the camera until the ruler "
    "is sharp, and read how many mm of it the frame shows.",
)

WITH_RULE: Final = {
    "barrel": Way(BARREL, ("barrel_length_mm",), 1),
    "iris-depth": Way(DEPTH, ("entrance_pupil_depth_mm",), 2),
    "pupils": Way(PUPILS, ("entrance_pupil_diameter_mm", "exit_pupil_diameter_mm"), 2),
    "iris-depth-and-pupils": Way(
        mark(
            "Open the lens to one stop short of full. Hold a rule across the front, look from about a metre away, and read "
            "how wide the iris appears. Turn the lens round, leave the stop as it is, and read the same through its rear. "
            "Then the depth of the iris: stop the lens down and look into its front from about a metre away. Hold a pin "
            "beside the barrel and move it along the barrel until it and the iris stay together when you move your head "
            "sideways. Measure how far the pin stands behind the front rim."
        ),
        ("entrance_pupil_depth_mm", "entrance_pupil_diameter_mm", "exit_pupil_diameter_mm"),
        4,
    ),
}
"""What is measured at the lens itself, by its kind."""

FRAME_MINUTES = 5


def way_with_frame(*, turned: bool, register: float, extension: float) -> Way:
    """How one frame of a ruler is taken; lengths in mm."""
    rings = (
        tr("{extension} mm of rings, adapters or bellows", extension=decimal(extension, STATED_DIGITS))
        if extension
        else tr("nothing between")
    )
    words = tr(
        FRAME,
        standing=tr("reversed") if turned else tr("on its own mount"),
        register=decimal(register, STATED_DIGITS),
        extension=rings,
    )
    return Way(words, ("measured",), FRAME_MINUTES)
