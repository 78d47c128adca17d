"""What is known of a lens, from the members of a request: those of a lens in a train, or of the one lens of a quantity."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final, TypedDict, cast

from closeup_service.estimates.known_lens import Frame, KnownLens

if TYPE_CHECKING:
    from closeup_service.records import requests


class LensData(TypedDict, total=False):
    """Data of a lens that no barrel carries."""

    front_principal_plane_mm: float
    principal_plane_separation_mm: float
    pupil_magnification: float


ESTIMATE_UNKNOWN: Final = "estimate_unknown"
"""Member of a request that asks for estimates."""
ESTIMABLE = ("front_principal_plane_mm", "principal_plane_separation_mm", "pupil_magnification")
"""Data that no barrel carries, as requests name them."""


def stated_data(members: Mapping[str, object]) -> LensData:
    """What of `ESTIMABLE` these members state, lengths in mm."""
    return cast(LensData, {name: members[name] for name in ESTIMABLE if name in members})


def read_known_lens(
    members: requests.KnownLensFields, focal_length: float, register: float | None, data: LensData
) -> KnownLens:
    """Lens of these members; `data` holds what of `ESTIMABLE` is given, lengths in mm.

    Parameters
    ----------
    focal_length : float, mm
    register : float or None, flange to sensor, mm

    Returns
    -------
    KnownLens, lengths in mm
    """
    pupils = pupil_ratio(members, focal_length)
    return KnownLens(
        focal_length_mm=focal_length,
        register_mm=register,
        lens_class=members.get("lens_class"),
        widest_f_number=members.get("widest_f_number"),
        zoom_from_mm=members.get("zoom_from_mm"),
        zoom_to_mm=members.get("zoom_to_mm"),
        front_plane_mm=data.get("front_principal_plane_mm"),
        separation_mm=data.get("principal_plane_separation_mm"),
        pupil_magnification=data.get("pupil_magnification"),
        barrel_length_mm=members.get("barrel_length_mm"),
        barrel_length_error_mm=members.get("barrel_length_uncertainty_mm"),
        entrance_pupil_depth_mm=members.get("entrance_pupil_depth_mm"),
        entrance_pupil_depth_error_mm=members.get("entrance_pupil_depth_uncertainty_mm"),
        pupil_ratio=pupils,
        pupil_ratio_error=members.get("pupil_ratio_uncertainty"),
        frames=tuple(read_frame(frame) for frame in members.get("measured", ())),
    )


def pupil_ratio(members: requests.KnownLensFields, focal_length: float) -> float | None:
    """Exit over entrance pupil as measured; the entrance pupil at full aperture follows from the widest f-number.

    Parameters
    ----------
    focal_length : float, mm

    Returns
    -------
    float or None, ratio
    """
    if "exit_pupil_diameter_mm" not in members:
        return None
    entrance = members.get("entrance_pupil_diameter_mm")
    if entrance is None:
        entrance = focal_length / members["widest_f_number"]
    return members["exit_pupil_diameter_mm"] / entrance


def read_frame(frame: requests.MeasuredMagnification) -> Frame:
    """One photograph of a ruler."""
    magnification = frame.get("magnification")
    if magnification is None:
        magnification = frame["sensor_width_mm"] / frame["subject_width_mm"]
    return Frame(
        magnification=magnification,
        reversed=frame["mounting"] == "reversed",
        extension_mm=frame["extension_mm"],
        camera_register_mm=frame["camera_register_mm"],
        standard_error=frame.get("magnification_uncertainty"),
    )
