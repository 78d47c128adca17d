"""Remarks on answers: what was left open and why, and how far the trade's shortcuts would be off here."""

import math
from collections.abc import Mapping

from closeup_service.optics.how_to_find import how_to_find

Remark = dict[str, str]

WORTH_SAYING = 0.01
"""A shortcut is remarked on when it is off by more than this share."""


def remark(code: str, text: str) -> Remark:
    """One remark."""
    return {"code": code, "text": text}


def not_determined(needs: Mapping[str, tuple[str, ...]]) -> list[Remark]:
    """One remark per set of missing members, naming every result that waits for it."""
    waiting: dict[tuple[str, ...], list[str]] = {}
    for name, members in needs.items():
        waiting.setdefault(members, []).append(name)
    notes = []
    for members, names in waiting.items():
        hints = " ".join(dict.fromkeys(filter(None, map(how_to_find, members))))
        verb = "is" if len(names) == 1 else "are"
        text = f"{', '.join(names)} {verb} not determined without {' and '.join(map(spoken, members))}. {hints}"
        notes.append(remark("not-determined", text.strip()))
    return notes


def spoken(pointer: str) -> str:
    """Return a flat member by its bare name, a nested one by its pointer."""
    return pointer if "/" in pointer[1:] else pointer[1:]


def off_by(shortcut: float, truth: float) -> str:
    """How far a shortcut is off, in words."""
    share = shortcut / truth - 1
    return f"{abs(share):.0%} too {'much' if share > 0 else 'little'}"


def pupils(f_number: float, magnification: float, effective: float, given: bool, mounting: str) -> list[Remark]:
    """The shortcut N (1 + m) against the pupils of the lens, or the assumption that stands in for them."""
    if not given:
        return [
            remark(
                "pupil-magnification-assumed",
                "The pupil magnification was taken as 1. On real lenses that puts the effective f-number off by up to a "
                "quarter or so either way: compare the two pupils' diameters and give pupil_magnification.",
            )
        ]
    shortcut = f_number * (1 + magnification)
    if abs(shortcut / effective - 1) < WORTH_SAYING:
        return []
    way = " of a reversed lens" if mounting == "reversed" else ""
    return [
        remark(
            "shortcut-pupils-ignored",
            f"The shortcut N (1 + m), pupils{way} ignored, would give f/{shortcut:.3g}: {off_by(shortcut, effective)}.",
        )
    ]


def reversed_register(shortcut: float, magnification: float) -> list[Remark]:
    """The shortcut that forgets how deep the principal plane lies behind the rim of a reversed lens."""
    if abs(shortcut / magnification - 1) < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-plane-ignored",
            "The shortcut (register + rings) / focal length - 1, which ignores how deep the front principal plane lies "
            f"behind the rim, would give {shortcut:.3g} instead of {magnification:.3g}.",
        )
    ]


def registers_assumed_equal() -> Remark:
    """Say that the lens was taken to focus infinity on the camera without rings."""
    return remark(
        "registers-assumed-equal",
        "The lens was taken to focus infinity on this camera without rings: give lens_register_mm and "
        "camera_register_mm where its mount is another.",
    )


def extension_not_possible(extension: float) -> Remark:
    """Say that the magnification asks for less than no extension."""
    return remark(
        "extension-negative",
        f"This magnification would need {extension:.3g} mm of extension: with no ring at all the lens already gives "
        "more. Use a longer focal length, or a camera of shorter register.",
    )


def symmetric_depth() -> Remark:
    """Say that front and rear depth were taken as equal."""
    return remark(
        "symmetric-depth",
        "Without focal_length_mm the depths before and behind are taken as equal, c N_eff / m^2 each. With it they differ "
        "by the position of the entrance pupil; the difference shrinks as the magnification grows.",
    )


def diffraction_fills_blur(airy_um: float | None, blur_mm: float | None) -> list[Remark]:
    """Warn when the Airy disk alone fills the blur that the geometric depth allows."""
    if airy_um is None or blur_mm is None or airy_um < blur_mm * 1000:
        return []
    return [
        remark(
            "airy-disk-fills-blur",
            f"Diffraction alone draws a point as a disk {airy_um:.3g} um wide, and the blur criterion is "
            f"{blur_mm * 1000:.3g} um: nothing in this picture meets the criterion, and the geometric depth of field says "
            "more than the eye will see. Open up, or accept a larger blur.",
        )
    ]


def perspective(inverse_pupil_distance: float | None) -> list[Remark]:
    """Say when nearer parts of the subject look smaller, or no larger."""
    if inverse_pupil_distance is None:
        return []
    if abs(inverse_pupil_distance) < 1e-12:
        return [remark("telecentric", "Telecentric: the scale does not change with the distance of the subject.")]
    if inverse_pupil_distance < 0:
        return [
            remark(
                "hypercentric",
                "Hypercentric: the entrance pupil lies behind the subject, so nearer parts look smaller than farther ones "
                f"(pupil {-1 / inverse_pupil_distance:.3g} mm behind the subject plane).",
            )
        ]
    return []


def image_erect() -> Remark:
    """Say that the train relays its image once more."""
    return remark("image-erect", "The image is relayed within the train and stands upright on the sensor.")


def no_marked_f_number() -> Remark:
    """Say why no light loss is stated."""
    return remark(
        "no-marked-f-number",
        "light_loss_stops is null: the part whose stop governs bears no marked f-number to lose light against.",
    )


def corners(image_circle: float, diagonal: float) -> list[Remark]:
    """Compare the image circle, grown with the magnification, to the sensor's diagonal."""
    if image_circle >= diagonal:
        return []
    return [
        remark(
            "image-circle-short",
            f"The image circle of {image_circle:.3g} mm does not cover the sensor's diagonal of {diagonal:.3g} mm: the "
            "corners stay dark.",
        )
    ]


def objective_field(field_number: float, engraved: float, magnification: float, diagonal: float) -> list[Remark]:
    """Compare the field an objective is made for to what the sensor sees."""
    field, seen = field_number / engraved, diagonal / magnification
    if seen <= field:
        return []
    return [
        remark(
            "objective-field-exceeded",
            f"The sensor's diagonal sees {seen:.3g} mm of the subject and the objective is made for {field:.3g} mm: the "
            "corners go soft or dark.",
        )
    ]


def objective_focus(error: float | None) -> list[Remark]:
    """Say how far the lens behind an infinity-corrected objective is off its infinity focus."""
    if error is None or abs(error) < 1e-6:
        return []
    return [
        remark(
            "objective-focus-error",
            f"The sensor stands {abs(error):.3g} mm {'behind' if error > 0 else 'before'} the infinity focus of the lens "
            "that follows the objective; the objective's own rear focal plane was taken to lie at its shoulder.",
        )
    ]


def narrow_front(front_diameter: float, entrance_pupil: float) -> list[Remark]:
    """Find a contradiction between the lens's front and its pupil."""
    if front_diameter >= entrance_pupil:
        return []
    return [
        remark(
            "front-narrower-than-pupil",
            f"The front is said to be {front_diameter:.3g} mm wide, and the marked f-number needs a pupil of "
            f"{entrance_pupil:.3g} mm: one of the two is wrong.",
        )
    ]


def finite(value: float | None) -> float | None:
    """Infinite limits leave the service as null."""
    return value if value is not None and math.isfinite(value) else None
