"""Remarks on answers: what was left open and why, and how far the trade's shortcuts would be off here."""

import math
from collections.abc import Mapping, Sequence

from closeup_service.optics.depth import geometric_half_depth, wave_half_depth
from closeup_service.optics.formulas import airy_diameter_um
from closeup_service.optics.how_to_find import how_to_find
from closeup_service.optics.sharpness import Criterion

Remark = dict[str, str]

DUST_SHOWS_FROM = 22.0
"""Effective f-number from which dust on the sensor is usually seen (common practice, no source)."""

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
        "Without focal_length_mm the depths before and behind are taken as equal, half each. With it they differ "
        "by the position of the entrance pupil; the difference shrinks as the magnification grows.",
    )


def sharpness(criterion: Criterion, effective: float, magnification: float) -> list[Remark]:
    """What the chosen model of sharpness leaves out here, and dust."""
    notes: list[Remark] = []
    if criterion.blur_mm is not None:
        notes += diffraction_fills_blur(criterion.blur_mm, criterion.wavelength_nm, effective)
        if criterion.model == "geometric":
            notes += geometry_alone(criterion.blur_mm, criterion.wavelength_nm, effective, magnification)
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
            f"Diffraction alone draws a point as a disk {airy_um:.3g} um wide, and the blur criterion is {blur_um:.3g} um: "
            "nothing in this picture meets the criterion, and a depth of field says more than the eye will see. Open up, or "
            "accept a larger blur.",
        )
    ]


def geometry_alone(blur_mm: float, wavelength_nm: float, effective: float, magnification: float) -> list[Remark]:
    """Say how much depth the geometric model leaves out."""
    geometric = geometric_half_depth(effective, magnification, blur_mm)
    wave = wave_half_depth(effective, magnification, wavelength_nm)
    if wave < geometric / 4:
        return []
    return [
        remark(
            "diffraction-ignored",
            f"The geometric model ignores diffraction, whose quarter-wave depth alone is {2 * wave:.3g} mm here, against "
            f"{2 * geometric:.3g} mm by geometry: the models combined and contrast count both.",
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
            f"The wave depth lambda / NA^2, as it is usually printed, is {share:.0%} too much at NA {numerical_aperture:.2g}.",
        )
    ]


def dust(effective: float) -> Remark:
    """Say how dust on the sensor shows."""
    return remark(
        "dust-shows",
        f"At f/{effective:.3g} effective, dust in front of the sensor shows: each mm of distance blurs its shadow by only "
        f"{1 / effective:.2g} mm.",
    )


def beyond_the_ring(f_number: float, least: float, greatest: float) -> Remark:
    """Say that the best aperture is not on the ring."""
    return remark(
        "beyond-the-ring",
        f"The best aperture would be marked f/{f_number:.3g}, and the ring goes from f/{least:g} to f/{greatest:g}: the "
        "nearest end is given.",
    )


def stack_instead(reached: float, asked: float) -> Remark:
    """Advise a stack where no aperture reaches the contrast."""
    return remark(
        "stack-instead",
        f"No aperture of this ring keeps the contrast asked for at both ends: the best leaves {reached:.2g}, and {asked:.2g} "
        "is asked. Take several frames focused one behind the other, with a wider aperture, and stack them.",
    )


def detail_too_fine(reached: float, asked: float) -> Remark:
    """Say that no frame shows the detail at the contrast asked for, stacked or not."""
    return remark(
        "detail-too-fine",
        f"Even in the plane of focus no aperture of this ring leaves this detail more contrast than {reached:.2g}, and "
        f"{asked:.2g} is asked: a stack does not help. Ask for coarser detail or less contrast, open the lens further, or use "
        "more magnification.",
    )


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


def motions_not_counted(names: Sequence[str]) -> list[Remark]:
    """Say which kinds of motion were not given."""
    if not names:
        return []
    return [
        remark(
            "motions-not-counted",
            f"Not given, so not counted: {', '.join(names)}. What belongs to them is null. Give a motion as 0 to learn how "
            "large it may be.",
        )
    ]


def motions_in_quadrature(by_kind: Sequence[float], together: float) -> list[Remark]:
    """Say how several motions were put together, and what they draw at worst."""
    moving = [blur for blur in by_kind if blur > 0]
    if len(moving) < 2:
        return []
    return [
        remark(
            "motions-in-quadrature",
            "The motions were taken to know nothing of each other: root of the sum of squares. All along one line at once "
            f"they would draw {sum(moving):.3g} um instead of {together:.3g} um on the sensor.",
        )
    ]


def axial_movement(movement_um: float, depth_mm: float | None) -> list[Remark]:
    """Say that axial movement shows as a loss of focus, and when the depth must be centred on it."""
    if movement_um == 0:
        return [remark("axial-time-unlimited", "longest_axial_time_s is null: nothing moves along the axis.")]
    notes = [
        remark(
            "axial-movement-not-in-blur",
            "Axial movement is not in the blur: it takes the subject out of focus. Hold it against the depth of field.",
        )
    ]
    if depth_mm is not None and depth_mm < 2 * movement_um / 1000 <= 2 * depth_mm:
        text = (
            "More than half the depth is used up: only a movement that passes the plane of focus half-way stays in it."
        )
        notes.append(remark("axial-movement-off-centre", text))
    return notes


def flash_half_time(shape_given: bool, exponential: bool, shortcut: float, blur: float) -> list[Remark]:
    """Say that a shape was assumed for the flash, and how far off t0.5 itself would have been."""
    notes = []
    if not shape_given:
        notes.append(
            remark(
                "flash-shape-assumed",
                "Only t0.5 was given: the light was taken to die away exponentially, t0.1 = 3.32 t0.5. A flash cut short "
                'electronically (IGBT) has t0.1 = t0.5: say flash_shape "cut".',
            )
        )
    if exponential and blur > 0 and abs(shortcut / blur - 1) >= WORTH_SAYING:
        notes.append(
            remark(
                "shortcut-half-time",
                "The shortcut of taking t0.5, in which only half the light falls, would state the blur "
                f"{off_by(shortcut, blur)}.",
            )
        )
    return notes


def shutter_cuts_flash() -> Remark:
    """Say that the shutter closes before the flash has died."""
    return remark(
        "shutter-cuts-flash",
        "The shutter is open for less than the flash's t0.1: its time was taken, and part of the flash's light is lost.",
    )


def ambient_light(share: float | None, blur_um: float | None) -> list[Remark]:
    """Say what ambient light draws beside the flash, or what is missing to say it."""
    if share is None:
        text = (
            "ambient_share and flash_share are not determined without ambient_share: expose once without the flash, and "
            "divide the light of that frame by that of the frame with it."
        )
        return [remark("not-determined", text)]
    if blur_um is None:
        return [remark("flash-alone", "The flash was taken as the only light, so no ambient light draws a blur.")]
    if share == 0:
        return []
    return [
        remark(
            "ambient-ghost",
            f"{share:.0%} of the light is ambient and draws a ghost {blur_um:.3g} um wide on the sensor beside the flash.",
        )
    ]


def one_over_focal_length(lever_ratio: float, focal_length: float) -> list[Remark]:
    """The rule 1 / focal length for hand-held times, against the magnification; common practice, no source."""
    if abs(lever_ratio - 1) < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-one-over-focal-length",
            f"The rule of thumb 1 / focal length, 1/{focal_length:.3g} s, ignores magnification: the same rotation blurs "
            f"{lever_ratio:.3g} times as much here as at infinity.",
        )
    ]


def whole_stroke(frequency: float) -> Remark:
    """Say that a somewhat shorter time does not help against the vibration."""
    return remark(
        "vibration-whole-stroke",
        "The time lasts half a period of the vibration or more, so its whole stroke is drawn: only times below "
        f"{0.5 / frequency:.3g} s draw less of it.",
    )


def no_allowed_blur(names: Sequence[str]) -> Remark:
    """Say what is missing for the reverse."""
    return remark(
        "not-determined",
        f"{', '.join(names)} are not determined without an allowed blur: give allowed_blur_um, allowed_blur_pixels, "
        "circle_of_confusion_mm or the sensor.",
    )


def no_longest_time(vibrates: bool) -> Remark:
    """Say why no time is too long."""
    reason = "the whole stroke of the vibration stays within it" if vibrates else "nothing moves across the axis"
    return remark(
        "time-unlimited", f"longest_time_s is null: no time is too long for the allowed blur, since {reason}."
    )


def no_largest(names: Sequence[str]) -> list[Remark]:
    """Say which motions have nothing left of the allowed blur."""
    if not names:
        return []
    verb = "is" if len(names) == 1 else "are"
    return [
        remark(
            "others-exceed-allowed-blur",
            f"{', '.join(names)} {verb} null: the other motions alone draw more than the allowed blur in this time.",
        )
    ]


def no_lever() -> Remark:
    """Say why no rotation is too fast."""
    return remark(
        "rotation-about-the-subject",
        "largest_rotation_rad_s is null: the camera turns about the subject itself, which draws no blur.",
    )
