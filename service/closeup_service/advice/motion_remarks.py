"""Remarks on movement blur: what counted, what did not, and the trade's shortcuts."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import WORTH_SAYING, Remark, error_of, remark
from closeup_service.language import mark, tr, tr_each


def uncounted_motions(names: Sequence[str]) -> list[Remark]:
    """Say which kinds of motion were not given."""
    if not names:
        return []
    return [
        remark(
            "motions-not-counted",
            tr(
                "Not given, so not counted: {names}. Give a motion as 0 to learn how large it may be.",
                names=", ".join(names),
            ),
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
            tr(
                "The motions were taken to know nothing of each other: root of the sum of squares. All along one "
                "line at once they would draw {moving} um instead of {together} um on the sensor.",
                moving=decimal(sum(moving)),
                together=decimal(together),
            ),
        )
    ]


def axial_movement(movement_um: float, depth_mm: float | None) -> list[Remark]:
    """Say that axial movement shows as a loss of focus, and when the depth must be centred on it."""
    if movement_um == 0:
        return [remark("axial-time-unlimited", tr("longest_axial_time_s is null: nothing moves along the axis."))]
    notes = [
        remark(
            "axial-movement-not-in-blur",
            tr(
                "Axial movement is not in the blur: it takes the subject out of focus. Hold it against the depth of "
                "field.",
            ),
        )
    ]
    if depth_mm is not None and depth_mm < 2 * movement_um / 1000 <= 2 * depth_mm:
        text = tr(
            "More than half the depth is used up: only a movement that passes the plane of focus half-way stays in it.",
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
                tr(
                    "Only t0.5 was given: the light was taken to die away exponentially, t0.1 = 3.32 t0.5. A flash cut "
                    'short electronically (IGBT) has t0.1 = t0.5: say flash_shape "cut".',
                ),
            )
        )
    if exponential and blur > 0 and abs(shortcut / blur - 1) >= WORTH_SAYING:
        notes.append(
            remark(
                "shortcut-half-time",
                tr(
                    "The shortcut of taking t0.5, in which only half the light falls, would state the blur {off}.",
                    off=error_of(shortcut, blur),
                ),
            )
        )
    return notes


def flash_cut_by_shutter() -> Remark:
    """Say that the shutter closes before the flash has died."""
    return remark(
        "shutter-cuts-flash",
        tr(
            "The shutter is open for less than the flash's t0.1: its time was taken, and part of the flash's "
            "light is lost.",
        ),
    )


def ambient_light(share: float | None, blur_um: float | None) -> list[Remark]:
    """Say what ambient light draws beside the flash, or what is missing to say it."""
    if share is None:
        text = tr(
            "ambient_share and flash_share are not determined without ambient_share: expose once without the "
            "flash, and divide the light of that frame by that of the frame with it.",
        )
        return [remark("not-determined", text)]
    if blur_um is None:
        return [remark("flash-alone", tr("The flash was taken as the only light, so no ambient light draws a blur."))]
    if share == 0:
        return []
    return [
        remark(
            "ambient-ghost",
            tr(
                "{share}% of the light is ambient and draws a ghost {blur_um} um wide on the sensor beside the "
                "flash. The blur, the longest time and the largest motions hold for the flash's part alone.",
                share=percent(share, 2),
                blur_um=decimal(blur_um),
            ),
        )
    ]


def focal_length_rule(lever_ratio: float, focal_length: float) -> list[Remark]:
    """The rule 1 / focal length for hand-held times, against the magnification; common practice, no source."""
    if abs(lever_ratio - 1) < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-one-over-focal-length",
            tr(
                "The rule of thumb 1 / focal length, 1/{focal_length} s, ignores magnification: the same rotation "
                "blurs {lever_ratio} times as much here as at infinity.",
                focal_length=decimal(focal_length),
                lever_ratio=decimal(lever_ratio),
            ),
        )
    ]


def whole_stroke(frequency: float) -> Remark:
    """Say that a somewhat shorter time does not help against the vibration."""
    return remark(
        "vibration-whole-stroke",
        tr(
            "The time lasts half a period of the vibration or more, so its whole stroke is drawn: only times "
            "below {frequency} s draw less of it.",
            frequency=decimal(0.5 / frequency),
        ),
    )


def missing_allowed_blur(names: Sequence[str]) -> Remark:
    """Say what is missing for the reverse."""
    return remark(
        "not-determined",
        tr(
            "{names} are not determined without an allowed blur: give allowed_blur_um, allowed_blur_px, "
            "circle_of_confusion_mm or the sensor.",
            names=", ".join(names),
        ),
    )


def unlimited_time(vibrates: bool) -> Remark:
    """Say why no time is too long."""
    text = (
        mark(
            "longest_time_s is null: no time is too long for the allowed blur, since the whole stroke of the vibration stays "
            "within it."
        )
        if vibrates
        else mark(
            "longest_time_s is null: no time is too long for the allowed blur, since nothing moves across the axis."
        )
    )
    return remark("time-unlimited", tr(text))


def exhausted_motions(names: Sequence[str]) -> list[Remark]:
    """Say which motions have nothing left of the allowed blur."""
    if not names:
        return []
    return [
        remark(
            "others-exceed-allowed-blur",
            tr_each(
                "{names} is null: the other motions alone draw more than the allowed blur in this time.",
                "{names} are null: the other motions alone draw more than the allowed blur in this time.",
                len(names),
                names=", ".join(names),
            ),
        )
    ]


def missing_lever() -> Remark:
    """Say why no rotation is too fast."""
    return remark(
        "rotation-about-the-subject",
        tr(
            "largest_rotation_rad_s is null: the camera turns about the subject itself, which draws no blur.",
        ),
    )
