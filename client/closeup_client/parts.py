"""The parts of a set-up: one typed builder each, which returns a plain dict ready for JSON.

Lengths are in mm, powers in dioptres, pixels in um; ratios have no unit. Members that are left out are assumed by the
service or leave some results open; its answers say which. A list of mixed parts that is built before the call wants a
type: `train: list[Element] = [lens(...), spacer(...)]`.
"""

from typing import Unpack

from closeup_client.records.shared_requests import (
    Camera,
    CloseUpLens,
    CloseUpLensFields,
    KitPart,
    KitPartFields,
    Lens,
    LensFields,
    Objective,
    ObjectiveFields,
    Solve,
    Spacer,
    SpacerFields,
    Teleconverter,
    TeleconverterFields,
)


def camera(**known: Unpack[Camera]) -> Camera:
    """Camera of the kit by `use`; or with its register in mm, and its sensor by id or measures where known."""
    return known


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


def solve(**wanted: Unpack[Solve]) -> Solve:
    """Ask for an open length, such as `solve(unknown="/train/1/length_mm", target={"magnification": 2})`."""
    return wanted
