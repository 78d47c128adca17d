"""Remarks on the calibration of a lens: what the frames could not tell, and whether they agree."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark
from closeup_service.language import mark, tr, tr_each

FEW, MANY = 0.05, 0.975
"""A chi-square rarer than the first is too large; likelier than the second, suspiciously small."""
RARE = 0.0001
"""Probabilities below this are not told apart."""

MISSING = {
    "front_principal_plane_mm": mark("working_distance_mm with its uncertainty in a frame or more"),
    "rear_principal_plane_mm": mark(
        "lens_register_mm, or camera_register_mm with the lens mounted normally, or working distances with "
        "the lens reversed",
    ),
    "extension_at_infinity_mm": mark("frames with the lens mounted normally"),
    "pupil_magnification": mark("entrance_pupil_diameter_mm and exit_pupil_diameter_mm"),
    "principal_plane_separation_mm": mark("subject_to_sensor_mm with its uncertainty in a frame or more"),
    "f_number_estimate": mark("entrance_pupil_diameter_mm, or reference_f_number with reference_light_loss_stops"),
}
"""What would tell each quantity."""


def open_quantities(names: Sequence[str]) -> list[Remark]:
    """Say of each quantity left open what would tell it."""
    return [
        remark(
            "not-determined", tr("{name} is not determined without {missing}.", name=name, missing=tr(MISSING[name]))
        )
        for name in names
        if name in MISSING
    ]


DATA_ESTIMATED = "data-estimated"
"""Code of the remark on what frames do not tell."""


def estimated_data(names: Sequence[str]) -> Remark:
    """Say what the frames do not tell, and how to go on with the lens."""
    return remark(
        DATA_ESTIMATED,
        tr(
            "Estimated, not measured: {names}. lens holds the medians; to keep the ranges in a set-up, paste "
            "known_lens in place of it, with estimate_unknown.",
            names=", ".join(names) or "nothing",
        ),
    )


def unused_distances() -> Remark:
    """Say that distances count only beside frames at several extensions."""
    return remark(
        "distances-unused",
        tr(
            "Working distances and distances from subject to sensor count only where frames stand at several "
            "extensions.",
        ),
    )


def missing_uncertainty(frames: int) -> Remark:
    """Say why values stand without uncertainty."""
    return remark(
        "no-uncertainty",
        tr_each(
            "One frame has no scatter to tell an uncertainty by: give magnification_uncertainty with every frame, or three "
            "frames or more.",
            "Two frames have no scatter to tell an uncertainty by: give magnification_uncertainty with every frame, or three "
            "frames or more.",
            frames,
        ),
    )


def pupils_without_uncertainty() -> Remark:
    """Say what the pupils' values lack."""
    return remark(
        "pupil-uncertainty-missing",
        tr("What rests on a pupil's diameter has an uncertainty only where that diameter has one."),
    )


def light_loss_without_uncertainty() -> Remark:
    """Say what the f-number found lacks."""
    return remark(
        "light-loss-uncertainty-missing",
        tr(
            "f_number_estimate has an uncertainty only where reference_light_loss_uncertainty_stops is given.",
        ),
    )


def exact_focal_length() -> Remark:
    """Say that the focal length counts as exact."""
    return remark(
        "focal-length-exact",
        tr(
            "The focal length counts as exact, which the mark on a barrel seldom is: give focal_length_uncertainty_mm.",
        ),
    )


def scatter(chi_square: float, degrees: int, probability: float) -> list[Remark]:
    """Hold the scatter of the readings against the uncertainties stated."""
    told = tr(
        "chi-square {chi_square} with {degrees} degrees of freedom, probability {probability}",
        chi_square=decimal(chi_square),
        degrees=degrees,
        probability=chance(probability),
    )
    if probability < FEW:
        text = tr(
            "The readings scatter more than their uncertainties say ({told}): those are too small, a reading is wrong, or "
            "the focal length changed between the frames (internal focusing).",
            told=told,
        )
        return [remark("scatter-too-large", text)]
    if probability > MANY:
        text = tr(
            "The readings scatter much less than their uncertainties say ({told}): those may be too large.", told=told
        )
        return [remark("scatter-small", text)]
    return []


def chance(probability: float) -> str:
    """Write a probability; how rare a very rare one is says nothing more."""
    return tr("below {rare}", rare=decimal(RARE)) if probability < RARE else decimal(probability, 2)


def missing_spare_frame() -> Remark:
    """Say that nothing could contradict the frames."""
    return remark(
        "no-check",
        tr(
            "As many readings as quantities: they fit whatever they are. One more frame would check them.",
        ),
    )


def distances(ratio: float, probability: float) -> Remark:
    """Say whether the distances tell of the same lens as the magnifications."""
    told = tr("F {ratio}, probability {probability}", ratio=decimal(ratio), probability=chance(probability))
    if probability < FEW:
        return remark(
            "distances-disagree",
            tr(
                "The distances and the magnifications do not tell of the same lens ({told}): check from where the "
                "distances were measured, and whether all adapters count in the extension.",
                told=told,
            ),
        )
    return remark("distances-agree", tr("The distances agree with the magnifications ({told}).", told=told))


def outliers(frames: Sequence[int], pointer: str) -> list[Remark]:
    """Name the frames to look at again; `pointer` is that of their lens."""
    if not frames:
        return []
    named = ", ".join(f"{pointer}/frames/{index}" for index in frames)
    text = tr(
        "{named}: beyond what the other frames admit. Look again, and leave one out only for a reason that "
        "you can name.",
        named=named,
    )
    return [remark("outlier", text)]


def registers(found: float, uncertainty: float | None, given: float, play: float) -> Remark:
    """Compare the register that the frames tell with the one given."""
    if uncertainty is None:
        text = tr(
            "Only the frames were taken for the rear plane, since they have no uncertainty to weigh the two by.",
        )
        within = ""
    else:
        text = tr(
            "The rear plane follows from both, each with its weight: infinity_stop_play_mm, {play} mm, is the "
            "standard uncertainty of the given register.",
            play=decimal(play, 3),
        )
        within = tr(" (standard uncertainty {uncertainty} mm)", uncertainty=decimal(uncertainty, 2))
    return remark(
        "register-compared",
        tr(
            "By the frames the lens's register is {found} mm{within}; lens_register_mm is {given} mm. {text}",
            found=decimal(found, 5),
            within=within,
            given=decimal(given, 6),
            text=text,
        ),
    )


def uncompared_register(play: float) -> Remark:
    """Say what the rear plane is worth where no frame tells of the register."""
    return remark(
        "register-not-compared",
        tr(
            "The rear plane follows from lens_register_mm alone, with infinity_stop_play_mm, {play} mm, as its "
            "standard uncertainty beside that of the focal length: camera_register_mm with the lens mounted "
            "normally, or working distances with the lens reversed, would check it.",
            play=decimal(play, 3),
        ),
    )


def turned_lens() -> Remark:
    """Say why the lens bears `reversed`."""
    return remark(
        "lens-reversed",
        tr(
            "The lens is given reversed, as it stood in the frames, whose magnifications it gives. Its data are "
            "those of the lens on its mount.",
        ),
    )


def ring_focusing() -> Remark:
    """Say for which lenses the focus ring is an extension."""
    return remark(
        "focused-by-ring",
        tr(
            "focusing_extension_mm counts as extension, which holds for a lens that moves as a whole. Where "
            "glass moves inside (internal focusing) the focal length changes: use rings at one focus setting.",
        ),
    )


def open_rear_plane() -> Remark:
    """Say what the lens lacks before it can stand in a train."""
    return remark(
        "lens-without-rear-plane",
        tr(
            "lens has no rear plane yet, so mounted normally no train takes it: give lens_register_mm, or "
            "camera_register_mm.",
        ),
    )


def settings_of_zoom() -> Remark:
    """Say where the lenses of a zoom are."""
    return remark(
        "settings-apart",
        tr(
            "Each setting is a lens of its own, under settings with its own remarks; give interpolate_at for one "
            "between them.",
        ),
    )


def interpolated_setting(marks: int) -> Remark:
    """Say what the uncertainty of a lens between settings is."""
    if marks < 3:
        text = tr(
            "Two settings cannot tell how far a straight line between them is off: its uncertainty is null. "
            "Measure a third.",
        )
        return remark("interpolation-unchecked", text)
    return remark(
        "interpolation-left-out",
        tr(
            "Drawn on straight lines between the neighbouring settings; its uncertainty is the error of each "
            "inner setting when it is left out and drawn from its neighbours, so it errs on the large side.",
        ),
    )


def measured_setting() -> Remark:
    """Say that nothing had to be drawn between settings."""
    return remark("setting-measured", tr("interpolate_at is a setting that was measured: its own lens is given."))
