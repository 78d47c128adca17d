"""Remarks on lenses and trains: what was assumed, and how far the trade's shortcuts would be off here."""

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import WORTH_SAYING, Remark, error_of, remark
from closeup_service.language import mark, tr
from closeup_service.optics.aperture import TELECENTRIC


def pupils(f_number: float, magnification: float, effective: float, given: bool, mounting: str) -> list[Remark]:
    """The shortcut N (1 + m) against the pupils of the lens, or the assumption that stands in for them."""
    if not given:
        return [
            remark(
                "pupil-magnification-assumed",
                tr(
                    "The pupil magnification was taken as 1. On real lenses that puts the effective f-number off by up "
                    "to a third or so either way: compare the two pupils' diameters and give pupil_magnification.",
                ),
            )
        ]
    shortcut = f_number * (1 + magnification)
    if abs(shortcut / effective - 1) < WORTH_SAYING:
        return []
    text = (
        mark("The shortcut N (1 + m), pupils of a reversed lens ignored, would give f/{shortcut}: {off}.")
        if mounting == "reversed"
        else mark("The shortcut N (1 + m), pupils ignored, would give f/{shortcut}: {off}.")
    )
    return [
        remark(
            "shortcut-pupils-ignored",
            tr(text, shortcut=decimal(shortcut), off=error_of(shortcut, effective)),
        )
    ]


def reversed_register(shortcut: float, magnification: float) -> list[Remark]:
    """The shortcut that forgets how deep the principal plane lies behind the rim of a reversed lens."""
    if abs(shortcut / magnification - 1) < WORTH_SAYING:
        return []
    return [
        remark(
            "shortcut-plane-ignored",
            tr(
                "The shortcut (register + rings) / focal length - 1, which ignores how deep the front principal "
                "plane lies behind the rim, would give {shortcut} instead of {magnification}.",
                shortcut=decimal(shortcut),
                magnification=decimal(magnification),
            ),
        )
    ]


def assumed_register(lens: str = "lens_register_mm", camera: str = "camera_register_mm") -> Remark:
    """Say that the lens was taken to focus infinity on the camera without rings, and which members say otherwise."""
    text = (
        mark(
            "The lens was taken to focus infinity on this camera without rings: give {lens} and {camera} where its mount is "
            "another."
        )
        if camera == "camera_register_mm"
        else mark(
            "The lens was taken to focus infinity on the other camera without rings: give {lens} and {camera} where its "
            "mount is another."
        )
    )
    return remark(
        "registers-assumed-equal",
        tr(text, lens=lens, camera=camera),
    )


def impossible_extension(extension: float) -> Remark:
    """Say that the magnification asks for less than no extension."""
    return remark(
        "extension-negative",
        tr(
            "This magnification would need {extension} mm of extension: with no ring at all the lens already "
            "gives more. Use a longer focal length, or a camera of shorter register.",
            extension=decimal(extension),
        ),
    )


def perspective(inverse_pupil_distance: float | None) -> list[Remark]:
    """Say when nearer parts of the subject look smaller, or no larger."""
    if inverse_pupil_distance is None:
        return []
    if abs(inverse_pupil_distance) < TELECENTRIC:
        return [remark("telecentric", tr("Telecentric: the scale does not change with the distance of the subject."))]
    if inverse_pupil_distance < 0:
        return [
            remark(
                "hypercentric",
                tr(
                    "Hypercentric: the entrance pupil lies behind the subject, so nearer parts look smaller than farther "
                    "ones (pupil {inverse_pupil_distance} mm behind the subject plane).",
                    inverse_pupil_distance=decimal(-1 / inverse_pupil_distance),
                ),
            )
        ]
    return []


def erect_image() -> Remark:
    """Say that the train relays its image once more."""
    return remark("image-erect", tr("The image is relayed within the train and stands upright on the sensor."))


def missing_marked_f_number() -> Remark:
    """Say why no light loss is stated."""
    return remark(
        "no-marked-f-number",
        tr(
            "light_loss_stops and optimum_f_number are null: the part whose stop governs bears no marked f-number.",
        ),
    )


def corners(image_circle: float, diagonal: float) -> list[Remark]:
    """Compare the image circle, grown with the magnification, to the sensor's diagonal."""
    if image_circle >= diagonal:
        return []
    return [
        remark(
            "image-circle-short",
            tr(
                "The image circle of {image_circle} mm does not cover the sensor's diagonal of {diagonal} mm: the "
                "corners stay dark.",
                image_circle=decimal(image_circle),
                diagonal=decimal(diagonal),
            ),
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
            tr(
                "The sensor's diagonal sees {seen} mm of the subject and the objective is made for {field} mm: the "
                "corners go soft or dark.",
                seen=decimal(seen),
                field=decimal(field),
            ),
        )
    ]


def objective_focus(error: float | None) -> list[Remark]:
    """Say how far the lens behind an infinity-corrected objective is off its infinity focus."""
    if error is None or abs(error) < 1e-6:
        return []
    return [
        remark(
            "objective-focus-error",
            tr(
                "The sensor stands {error} mm {side} the infinity focus of the lens that follows the objective; the "
                "objective's own rear focal plane was taken to lie at its shoulder.",
                error=decimal(abs(error)),
                side=tr("behind") if error > 0 else tr("before"),
            ),
        )
    ]


def narrow_front(front_diameter: float, entrance_pupil: float) -> list[Remark]:
    """Find a contradiction between the lens's front and its pupil."""
    if front_diameter >= entrance_pupil:
        return []
    return [
        remark(
            "front-narrower-than-pupil",
            tr(
                "The front is said to be {front_diameter} mm wide, and the marked f-number needs a pupil of "
                "{entrance_pupil} mm: one of the two is wrong.",
                front_diameter=decimal(front_diameter),
                entrance_pupil=decimal(entrance_pupil),
            ),
        )
    ]


def single_objective() -> Remark:
    """Say what was taken of an infinity-corrected objective that has no lens behind it."""
    return remark(
        "objective-without-tube-lens",
        tr(
            "The infinity-corrected objective has no lens behind it and throws its image itself: its rear focal "
            "plane was taken to lie at its shoulder, so magnification and working distance are rough, and "
            "spherical aberration is not counted.",
        ),
    )


def tube_as_aperture_stop(effective: float) -> Remark:
    """Say that a tube's opening stops down further than the iris."""
    return remark(
        "tube-governs",
        tr(
            "The clear opening of a tube, not the lens's iris, sets the effective f/{effective}: opening the "
            "lens gains nothing. Use a wider tube.",
            effective=decimal(effective),
        ),
    )
