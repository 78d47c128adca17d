"""The parts of a set-up: one typed builder each, which returns a plain dict ready for JSON.

Lengths are in mm, powers in dioptres, pixels in um; ratios have no unit. Members that are left out are assumed by the
service or leave some results open; its answers say which. A list of mixed parts that is built before the call wants a
type: `train: list[Element] = [lens(...), spacer(...)]`.
"""

from collections.abc import Sequence
from typing import Literal, NotRequired, Required, TypeAlias, TypedDict, Unpack

LensParameter: TypeAlias = Literal[
    "focal_length_mm",
    "front_principal_plane_mm",
    "rear_principal_plane_mm",
    "pupil_magnification",
    "principal_plane_separation_mm",
    "f_number",
]


class LensUncertainty(TypedDict):
    """Which members of a lens are uncertain, and their covariance, row by row, as `lens_calibration` gives them.

    `scatter_covariance` is the part that rests on a scatter, with its `degrees_of_freedom`.
    """

    parameters: Sequence[LensParameter]
    covariance: Sequence[Sequence[float]]
    degrees_of_freedom: NotRequired[float]
    scatter_covariance: NotRequired[Sequence[Sequence[float]]]


class LensFields(TypedDict, total=False):
    """What is known of a lens, as it is when mounted normally."""

    focal_length_mm: Required[float]
    f_number: float
    pupil_magnification: float
    front_principal_plane_mm: float
    register_mm: float
    rear_principal_plane_mm: float
    principal_plane_separation_mm: float
    focusing_extension_mm: float
    reversed: bool
    front_diameter_mm: float
    front_protrusion_mm: float
    image_circle_mm: float
    uncertainty: LensUncertainty


class Lens(LensFields):
    """A camera, enlarger or any other thick lens."""

    element: Literal["lens"]


class SpacerFields(TypedDict, total=False):
    """What is known of a spacer; without a length it is the open one that is solved for."""

    length_mm: float
    clear_diameter_mm: float


class Spacer(SpacerFields):
    """Any tube, ring, bellows, helicoid or adapter."""

    element: Literal["spacer"]


class CloseUpLensFields(TypedDict, total=False):
    """What is known of a close-up lens: either its power or its focal length, and perhaps its planes."""

    power_dpt: float
    focal_length_mm: float
    length_mm: float
    front_principal_plane_mm: float
    rear_principal_plane_mm: float


class CloseUpLens(CloseUpLensFields):
    """A supplementary lens on the front of another."""

    element: Literal["close-up-lens"]


class TeleconverterFields(TypedDict, total=False):
    """What is known of a converter: its factor, and the length it adds or its (negative) focal length, or both."""

    factor: Required[float]
    added_length_mm: float
    focal_length_mm: float
    register_mm: float


class Teleconverter(TeleconverterFields):
    """A negative lens between lens and camera."""

    element: Literal["teleconverter"]


class ObjectiveFields(TypedDict, total=False):
    """What is engraved on an objective; either the tube lens it is rated for or its tube length."""

    magnification: Required[float]
    numerical_aperture: Required[float]
    tube_lens_focal_length_mm: float
    tube_length_mm: float
    focal_length_mm: float
    working_distance_mm: float
    parfocal_distance_mm: float
    field_number_mm: float


class Objective(ObjectiveFields):
    """A microscope objective, infinity-corrected or of finite conjugates."""

    element: Literal["objective"]


class KitPartFields(TypedDict, total=False):
    """How a part of the kit is used: `use` is its id; what else applies depends on the part."""

    use: Required[str]
    reversed: bool
    f_number: float
    setting: str
    length_mm: float
    focusing_extension_mm: float


class KitPart(KitPartFields):
    """A part of the studio's kit, or of the kit sent with the request."""

    element: Literal["kit-part"]


Element: TypeAlias = Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart
"""One part of a train."""


def lens(**known: Unpack[LensFields]) -> Lens:
    """Camera, enlarger or any other thick lens; `reversed=True` turns it back to front, its data stay as mounted normally."""
    return {"element": "lens", **known}


def spacer(**known: Unpack[SpacerFields]) -> Spacer:
    """Any tube, ring, bellows, helicoid or adapter; leave `length_mm` out where it is the unknown."""
    return {"element": "spacer", **known}


def close_up_lens(**known: Unpack[CloseUpLensFields]) -> CloseUpLens:
    """Supplementary lens, by `power_dpt` or `focal_length_mm`."""
    return {"element": "close-up-lens", **known}


def teleconverter(**known: Unpack[TeleconverterFields]) -> Teleconverter:
    """Converter, by `factor` and `added_length_mm` or `focal_length_mm` (negative)."""
    return {"element": "teleconverter", **known}


def objective(**known: Unpack[ObjectiveFields]) -> Objective:
    """Microscope objective, with `tube_lens_focal_length_mm` (infinity-corrected) or `tube_length_mm` (finite)."""
    return {"element": "objective", **known}


def kit_part(**used: Unpack[KitPartFields]) -> KitPart:
    """Part of the kit by its id: a lens with its `f_number` and `setting`, bellows with `length_mm`, any other as it is."""
    return {"element": "kit-part", **used}
