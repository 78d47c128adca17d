"""What the physics refuses: one error per kind of impossibility."""

from typing import ClassVar


class OpticsError(ValueError):
    """A set-up that cannot exist, or that the data given do not determine.

    `code` names the kind for programs; `members` name the quantities at fault, or the parts by the labels that the
    caller gave them.
    """

    code: ClassVar[str] = "impossible"

    def __init__(self, message: str, *members: str) -> None:
        super().__init__(message)
        self.members = members


class FocusedAtInfinity(OpticsError):
    """The subject would lie at infinity: the magnification is zero."""

    code = "focused-at-infinity"


class NoRealSubject(OpticsError):
    """The sensor stands where no real subject can be sharp on it."""

    code = "no-real-subject"


class SubjectInsideLens(OpticsError):
    """The subject plane would lie behind the front of the set-up."""

    code = "subject-inside-lens"


class ApertureImpossible(OpticsError):
    """A numerical aperture of 1 or more in air, on the subject's side or on the sensor's."""

    code = "aperture-impossible"


class Contradiction(OpticsError):
    """Two members that cannot both be true."""

    code = "contradiction"


class Undetermined(OpticsError):
    """The data given do not determine what was asked."""

    code = "undetermined"


class NoSolution(OpticsError):
    """No value of the open length in its range reaches the target."""

    code = "no-solution"


class Overflow(OpticsError):
    """A result too large or too small for a floating-point number."""

    code = "overflow"


class ContrastUnattainable(OpticsError):
    """Diffraction, or the pixels, leave less contrast than is asked, even in focus."""

    code = "contrast-unattainable"


class TooManyFrames(OpticsError):
    """A stack of more frames than an answer lists."""

    code = "too-many-frames"


class StepTooLong(OpticsError):
    """The least step of the rail is longer than the depth of one frame."""

    code = "step-too-long"


class NoScaleFound(OpticsError):
    """A picture in which no evenly divided scale is found beyond doubt."""

    code = "no-scale-found"


class TooFewMarks(OpticsError):
    """A picture that shows fewer marks of a scale than a reading needs."""

    code = "too-few-marks"


class PlainMarks(OpticsError):
    """A picture of marks that are even, of which nothing else shows that they are a scale."""

    code = "plain-marks"


class PitchContradicted(OpticsError):
    """A scale whose longer marks speak against the pitch that was given."""

    code = "pitch-contradicted"


class BlocksOrLines(OpticsError):
    """Marks as wide as the gaps between them, of which the picture does not tell how they count."""

    code = "blocks-or-lines"


class TwoScales(OpticsError):
    """Two scales of nearly the same pitch that touch, such as a vernier and its scale."""

    code = "two-scales"


class TooBlurred(OpticsError):
    """A picture whose marks run into one another."""

    code = "too-blurred"


class FramesDiffer(OpticsError):
    """Photographs that were not taken or developed alike."""

    code = "frames-differ"
