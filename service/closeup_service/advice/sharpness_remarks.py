"""Remarks on sharpness: what a model leaves out, and what would help."""

import math

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import WORTH_SAYING, Remark, remark
from closeup_service.language import tr
from closeup_service.optics.depth import geometric_half_depth, wave_half_depth
from closeup_service.optics.formulas import airy_diameter_um
from closeup_service.optics.sharpness import Criterion

DUST_SHOWS_FROM = 22.0
"""Effective f-number from which dust on the sensor is usually seen (common practice, no source)."""


def symmetric_depth() -> Remark:
    """Say that front and rear depth were taken as equal."""
    return remark(
        "symmetric-depth",
        tr(
            "Without focal_length_mm the depths before and behind are taken as equal, half each. With it they "
            "differ by the position of the entrance pupil; the difference shrinks as the magnification grows.",
        ),
    )


def sharpness(criterion: Criterion, effective: float, magnification: float) -> list[Remark]:
    """What the chosen model of sharpness leaves out here, and dust."""
    notes: list[Remark] = []
    if criterion.blur_mm is not None:
        notes += diffraction_fills_blur(criterion.blur_mm, criterion.wavelength_nm, effective)
        if criterion.model == "geometric":
            notes += geometric_depth(criterion.blur_mm, criterion.wavelength_nm, effective, magnification)
    if criterion.model in ("wave", "combined"):
        notes += small_angle(magnification / (2 * effective))
    if effective >= DUST_SHOWS_FROM:
        notes.append(dust(effective))
    return notes


def diffraction_fills_blur(blur_mm: float, wavelength_nm: float, effective: float) -> list[Remark]:
    """Warn when the Airy disk alone fills the blur criterion."""
    airy_um, blur_um = airy_diameter_um(effective, wavelength_nm), blur_mm * 1000
    if airy_um < blur_um:
        return []
    return [
        remark(
            "airy-disk-fills-blur",
            tr(
                "Diffraction alone draws a point as a disk {airy_um} um wide, and the blur criterion is {blur_um} "
                "um: nothing in this picture meets the criterion, and a depth of field says more than the eye will "
                "see. Open up, or accept a larger blur.",
                airy_um=decimal(airy_um),
                blur_um=decimal(blur_um),
            ),
        )
    ]


def geometric_depth(blur_mm: float, wavelength_nm: float, effective: float, magnification: float) -> list[Remark]:
    """Say how much depth the geometric model leaves out."""
    geometric = geometric_half_depth(effective, magnification, blur_mm)
    wave = wave_half_depth(effective, magnification, wavelength_nm)
    if wave < geometric / 4:
        return []
    return [
        remark(
            "diffraction-ignored",
            tr(
                "The geometric model ignores diffraction, whose quarter-wave depth alone is {wave} mm here, against "
                "{geometric} mm by geometry: the models combined and contrast count both.",
                wave=decimal(2 * wave),
                geometric=decimal(2 * geometric),
            ),
        )
    ]


def small_angle(numerical_aperture: float) -> list[Remark]:
    """Say how far the small-angle form of the quarter-wave depth is off."""
    versine = 1 - math.sqrt(1 - numerical_aperture * numerical_aperture)
    share = 2 * versine / (numerical_aperture * numerical_aperture) - 1
    if share < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-small-angle",
            tr(
                "The wave depth lambda / NA^2, as it is usually printed, is {share:.0%} too much at NA "
                "{numerical_aperture}.",
                share=share,
                numerical_aperture=decimal(numerical_aperture, 2),
            ),
        )
    ]


def dust(effective: float) -> Remark:
    """Say how dust on the sensor shows."""
    return remark(
        "dust-shows",
        tr(
            "At f/{effective} effective, dust in front of the sensor shows: each mm of distance blurs its shadow "
            "by only {effective_2} mm.",
            effective=decimal(effective),
            effective_2=decimal(1 / effective, 2),
        ),
    )


def aperture_beyond_ring(f_number: float, least: float, greatest: float) -> Remark:
    """Say that the best aperture is not on the ring."""
    return remark(
        "beyond-the-ring",
        tr(
            "The best aperture would be marked f/{f_number}, and the ring goes from f/{least} to f/{greatest}: "
            "the nearest end is given.",
            f_number=decimal(f_number),
            least=decimal(least),
            greatest=decimal(greatest),
        ),
    )


def cover_beyond_ring(f_number: float, least: float, greatest: float) -> Remark:
    """Say that the aperture that covers the depth is not on the ring."""
    way = (
        tr("every mark of the ring covers the depth.")
        if f_number < least
        else tr("no mark covers the depth: take a stack.")
    )
    text = tr(
        "The depth of field would be as deep as the subject at f/{f_number}, and the ring goes from "
        "f/{least} to f/{greatest}: {way}",
        f_number=decimal(f_number),
        least=decimal(least),
        greatest=decimal(greatest),
        way=way,
    )
    return remark("cover-beyond-the-ring", text)


def cover_diffracts(blur_mm: float, wavelength_nm: float, effective: float) -> list[Remark]:
    """Warn that diffraction alone fills the blur at the aperture that covers the depth."""
    if not diffraction_fills_blur(blur_mm, wavelength_nm, effective):
        return []
    text = tr(
        "At the aperture that covers the depth, diffraction alone is softer than the blur criterion. Open up "
        "and take several frames, or accept a larger blur.",
    )
    return [remark("cover-diffracts", text)]


def stack_as_alternative(reached: float, asked: float) -> Remark:
    """Advise a stack where no aperture reaches the contrast."""
    return remark(
        "stack-instead",
        tr(
            "No aperture of this ring keeps the contrast asked for at both ends: the best leaves {reached}, and "
            "{asked} is asked. Take several frames focused one behind the other, with a wider aperture, and "
            "stack them.",
            reached=decimal(reached, 2),
            asked=decimal(asked, 2),
        ),
    )


def unresolved_detail(reached: float, asked: float) -> Remark:
    """Say that no frame shows the detail at the contrast asked for, stacked or not."""
    return remark(
        "detail-too-fine",
        tr(
            "Even in the plane of focus no aperture of this ring leaves this detail more contrast than "
            "{reached}, and {asked} is asked: a stack does not help. Ask for coarser detail or less contrast, "
            "open the lens further, or use more magnification.",
            reached=decimal(reached, 2),
            asked=decimal(asked, 2),
        ),
    )


def flat_subject() -> Remark:
    """Say why a flat subject has no best aperture by depth."""
    return remark(
        "flat-subject",
        tr(
            "optimum_effective_f_number and optimum_f_number are null: a flat subject needs no depth. Set the "
            "aperture at which the lens itself is sharpest.",
        ),
    )


def unattainable_optimum(f_number: float) -> Remark:
    """Say that another stop would govern at the best aperture."""
    return remark(
        "other-stop-governs",
        tr(
            "optimum_f_number is null: set to f/{f_number}, the part whose stop governs now would no longer "
            "govern, or air would not admit it. Change the other apertures too.",
            f_number=decimal(f_number),
        ),
    )


def optimum_beyond_rings(f_number: float) -> Remark:
    """Say that hardly any ring has the best aperture."""
    return remark(
        "beyond-the-ring",
        tr(
            "The best aperture would be marked f/{f_number}, which hardly any ring has: set its nearest end.",
            f_number=decimal(f_number),
        ),
    )


def sufficient_single_frame() -> Remark:
    """Say that the depth of field covers the subject."""
    return remark("one-frame-does", tr("The depth of field covers the subject's depth: one frame is enough."))


def depth_limit_at_glass(clearance: float) -> Remark:
    """Say that the near limit of the depth lies within the set-up."""
    return remark(
        "depth-ends-at-glass",
        tr(
            "The near limit of the depth of field lies within the set-up: what can be used of it ends "
            "{clearance} mm before the subject plane, at the glass or what stands out before it.",
            clearance=decimal(clearance),
        ),
    )


def detail_beyond_pixels(details: int) -> Remark:
    """Say that details are finer than the pixels can carry."""
    return remark(
        "finer-than-pixels",
        tr(
            "{details} of the details asked for are finer than the pixels can carry (nyquist_lp_per_mm): nothing "
            "of them is recorded, and what appears in their place is false pattern.",
            details=details,
        ),
    )
