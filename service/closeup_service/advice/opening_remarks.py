"""Remarks on the opening that a hood, guard, ring light or diffuser must leave."""

import math

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import WORTH_SAYING, Remark, remark
from closeup_service.language import tr


def uncounted_effects() -> Remark:
    """Say what the openings do not count."""
    return remark(
        "opening-geometric",
        tr(
            "The openings are the least that the picture's own rays leave free, about the axis and for a subject "
            "in the plane of focus: allow for what stands off centre or nearer. How a lamp behind or round the "
            "opening lights the subject, and stray light that it throws into the lens, is not counted.",
        ),
    )


def steep_cone(numerical_aperture: float) -> list[Remark]:
    """Say how much wider real rays go where the cone is steep."""
    wider = 1 / math.sqrt(1 - numerical_aperture * numerical_aperture) - 1
    if wider < WORTH_SAYING:
        return []
    return [
        remark(
            "cone-steep",
            tr(
                "At a numerical aperture of {numerical_aperture} real rays spread {wider:.0%} wider than the "
                "straight sum: make axial_diameter_mm wider by that share, and full_diameter_mm by as many mm.",
                numerical_aperture=decimal(numerical_aperture, 2),
                wider=wider,
            ),
        )
    ]


def clipped_light(first_clips: str, least_share: float, most_loss: float, effective: float) -> list[Remark]:
    """Say what the opening given takes, at the distance where it takes most."""
    if first_clips == "corners":
        return [
            remark(
                "opening-clips-corners",
                tr(
                    "The opening takes light from the corners: {least_share:.0%} of the frame's diagonal, about its "
                    "middle, keeps all of it. Make it full_diameter_mm wide, or move it to where less is needed.",
                    least_share=least_share,
                ),
            )
        ]
    if first_clips == "axis":
        return [
            remark(
                "opening-clips-axis",
                tr(
                    "The opening, not the aperture ring, stops the lens down: the middle of the frame loses {most_loss} "
                    "stops (an effective f/{effective}), and the corners lose more. Make it wider, or stop down as far "
                    "on the ring.",
                    most_loss=decimal(most_loss, 2),
                    effective=decimal(effective),
                ),
            )
        ]
    return []
