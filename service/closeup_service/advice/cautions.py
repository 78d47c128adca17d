"""The usual cautions, in plain words, and the rules that attach them. The one home of these texts.

They are common practice, no source; they never call anything free of danger and defer to makers' instructions.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

Caution = dict[str, str]


@dataclass(frozen=True, slots=True)
class Text:
    """One caution: its code, whom it concerns (people, animals, gear), its words."""

    code: str
    concerns: str
    words: str

    def note(self, **values: Any) -> Caution:
        """Word it for an answer."""
        return {"code": self.code, "concerns": self.concerns, "text": self.words.format(**values)}


WORKING_NEAR_GLASS = Text(
    "subject-near-glass",
    "gear",
    "Only {clearance:.3g} mm are left between the subject plane and what stands out in front, and the subject itself "
    "reaches {depth:.3g} mm towards the lens: glass and subject can touch. Bring them together by hand, slowly, looking "
    "from the side.",
)
HIDDEN_PROTRUSION = Text(
    "front-beyond-subject",
    "gear",
    "What stands out in front reaches {over:.3g} mm past the subject plane: it meets the subject before the picture is "
    "sharp, unless the subject fits inside it. Take it off or choose another set-up.",
)
EXPOSED_REAR = Text(
    "reversed-rear-exposed",
    "gear",
    "A reversed lens turns its rear glass, contacts and levers to the subject, bare of the mount that guards them: keep "
    "grit, fluids and pins away from them, never force a lever, and follow the maker's instructions.",
)
LENS_CHANGE = Text(
    "lens-change-dust",
    "gear",
    "Whenever parts come off the camera, dust can reach the sensor: switch the camera off, hold its mount downwards, "
    "have the next part ready, and clean only as the maker's instructions say.",
)
FOCUS_ERROR = Text(
    "objective-off-infinity",
    "gear",
    "The lens behind the infinity-corrected objective is {error:.3g} mm away from its focus for infinity: magnification and "
    "sharpness are no longer those engraved. Set it to infinity.",
)

MOVING_RAIL = Text(
    "moving-rail",
    "people",
    "A moving rail pinches fingers, hair and cloth, pulls at cables, and does not stop for what is in its way: keep hands "
    "clear while it moves, have its stop within reach, try the whole travel first with the subject out of the way, and follow "
    "the maker's instructions.",
)
STACK_COLLISION = Text(
    "stack-collision",
    "gear",
    "In the frame in which the lens is nearest, what stands out in front would reach {over:.3g} mm past the subject's nearest "
    "point: it meets the subject, its pin, its jar or its holder on the way. Take the subject in parts, turn it, or choose a "
    "set-up with more working distance.",
)

OBJECTIVE_ALONE = Text(
    "objective-without-lens",
    "gear",
    "An infinity-corrected objective is made to stand before a lens focused at infinity: without one it is neither as "
    "sharp nor as strong as engraved. Put a tube lens behind it, or follow its maker's instructions.",
)

ORDER = {"people": 0, "animals": 1, "gear": 2}


def in_order(cautions: Iterable[Caution]) -> list[Caution]:
    """People first, then animals, then gear."""
    return sorted(cautions, key=lambda caution: ORDER[caution["concerns"]])


def for_mounting(mounting: str) -> list[Caution]:
    """Cautions of one lens by the way it is mounted."""
    return [EXPOSED_REAR.note(), LENS_CHANGE.note()] if mounting == "reversed" else []


def near_glass(clearance: float | None, subject_depth: float | None) -> list[Caution]:
    """Whether the subject can touch the glass or what stands out before it."""
    if clearance is None:
        return []
    if clearance <= 0:
        return [HIDDEN_PROTRUSION.note(over=-clearance)]
    if subject_depth is not None and clearance <= subject_depth:
        return [WORKING_NEAR_GLASS.note(clearance=clearance, depth=subject_depth)]
    return []


def for_stack(method: str, frames: int, least_clearance: float | None) -> list[Caution]:
    """Cautions of what moves between the frames of a stack."""
    notes = []
    if method == "rail" and frames > 1:
        notes.append(MOVING_RAIL.note())
    if least_clearance is not None and least_clearance <= 0:
        notes.append(STACK_COLLISION.note(over=-least_clearance))
    return notes


def for_train(train: Sequence[Mapping[str, Any]]) -> list[Caution]:
    """Cautions of the parts themselves."""
    notes = []
    if train[0].get("reversed"):
        notes.append(EXPOSED_REAR.note())
    if len(train) > 1 or train[0].get("reversed"):
        notes.append(LENS_CHANGE.note())
    return notes
