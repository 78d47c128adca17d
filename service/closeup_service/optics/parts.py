"""The parts of a train, each between two joining faces."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Generic

from msgspec import Struct, field

from closeup_service.optics.arithmetic import R
from closeup_service.optics.disc import radius_of
from closeup_service.optics.lens import ThickLens


class Stop(Struct, Generic[R], frozen=True):
    """A round opening `offset` mm behind the second principal plane of its part, of `radius` mm."""

    offset: R
    radius: R


class Part(Struct, Generic[R], frozen=True):
    """One part of the train between two joining faces; lengths in mm, None where unknown.

    `power` is 1/f, `powered` false for a mere tube. `needs` maps what is unknown ("front_gap", "separation",
    "rear_gap", "stop") to the name of the member that would determine it. `marked_f_number` is the number on
    the ring, as marked.
    """

    label: str
    power: R
    front_gap: R | None
    separation: R | None
    rear_gap: R | None
    stops: tuple[Stop[R], ...] = ()
    marked_f_number: R | None = None
    needs: Mapping[str, str] = field(default_factory=dict)
    powered: bool = True

    @property
    def length(self) -> R | None:
        """Face to face, mm."""
        if self.front_gap is None or self.separation is None or self.rear_gap is None:
            return None
        return self.front_gap + self.separation + self.rear_gap


def exit_pupil_place(focal_length: R, pupil_magnification: R) -> R:
    """Exit pupil behind the second principal plane [mm] = f (1 - p).

    Parameters
    ----------
    focal_length : float or array, mm
    pupil_magnification : float or array, exit over entrance pupil, as the lens stands
    """
    return focal_length * (1 - pupil_magnification)


def lens_part(
    lens: ThickLens[R], label: str, marked_f_number: R | None, needs: Mapping[str, str] | None = None
) -> Part[R]:
    """Part of a thick lens as it stands; its stop is its exit pupil, when the f-number is known.

    Parameters
    ----------
    marked_f_number : float or array or None, as engraved

    Returns
    -------
    Part, lengths in mm
    """
    f = lens.focal_length
    stop = Stop(exit_pupil_place(f, lens.pupil_magnification), lens.exit_pupil / 2)
    return Part(
        label,
        1 / f,
        lens.front_gap,
        lens.separation,
        lens.rear_gap,
        () if marked_f_number is None else (stop,),
        marked_f_number,
        needs or {},
    )


def spacer_part(label: str, length: R, clear_diameter: R | None = None) -> Part[R]:
    """Tube, ring or bellows; its clear diameter is a stop at both faces.

    Parameters
    ----------
    length : float or array, mm
    clear_diameter : float or array or None, mm

    Returns
    -------
    Part, lengths in mm
    """
    stops = () if clear_diameter is None else tuple(Stop(face, radius_of(clear_diameter)) for face in (0.0, length))
    return Part(label, 0.0, 0.0, 0.0, length, stops, powered=False)
