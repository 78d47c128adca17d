"""Remarks on the calibration of a lens."""

from collections.abc import Sequence

from closeup_service.advice import calibration_remarks
from closeup_service.advice.remark import Remark
from closeup_service.measuring.lens.calibration import Calibration, outlier_places, scatter_probability

Notes = list[Remark]


def notes_on(calibration: Calibration) -> Notes:
    """Everything worth saying about one measured lens."""
    session, values = calibration.session, calibration.estimates.values
    notes = calibration_remarks.open_quantities([name for name, value in values.items() if value is None])
    notes += notes_on_uncertainty(calibration)
    notes += notes_on_scatter(calibration)
    if calibration.fit.agreement is not None:
        notes.append(
            calibration_remarks.distances(calibration.fit.agreement.ratio, calibration.fit.agreement.probability)
        )
    notes += calibration_remarks.outliers(outlier_places(calibration.residuals), session.pointer)
    return notes + notes_on_register(calibration) + notes_on_lens(calibration)


def notes_on_register(calibration: Calibration) -> Notes:
    """How a register that was given was used."""
    session, found = calibration.session, calibration.register_found
    if session.lens_register is None:
        return []
    if found is None:
        return [calibration_remarks.uncompared_register(session.infinity_stop_play)]
    return [
        calibration_remarks.registers(found.value, found.uncertainty, session.lens_register, session.infinity_stop_play)
    ]


def notes_on_uncertainty(calibration: Calibration) -> Notes:
    """What stands without uncertainty, and why."""
    session, notes = calibration.session, []
    if calibration.fit.covariance is None:
        notes.append(calibration_remarks.missing_uncertainty(len(session.frames)))
    pupils = [pupil for pupil in (session.entrance_pupil, session.exit_pupil) if pupil is not None]
    if any(pupil.uncertainty is None for pupil in pupils):
        notes.append(calibration_remarks.pupils_without_uncertainty())
    if session.light_loss is not None and session.light_loss.uncertainty is None:
        notes.append(calibration_remarks.light_loss_without_uncertainty())
    if session.focal_length is not None and session.focal_length.uncertainty is None:
        notes.append(calibration_remarks.exact_focal_length())
    return notes


def notes_on_scatter(calibration: Calibration) -> Notes:
    """Whether the readings scatter as their uncertainties say."""
    fit = calibration.fit
    if fit.square_sum is None:
        return []
    probability = scatter_probability(fit)
    if probability is None:
        return [calibration_remarks.missing_spare_frame()]
    return calibration_remarks.scatter(fit.square_sum, fit.spare, probability)


def notes_on_lens(calibration: Calibration) -> Notes:
    """What to know before the lens is put into a train."""
    session, notes = calibration.session, []
    if session.turned:
        notes.append(calibration_remarks.turned_lens())
    elif any(frame.focusing for frame in session.frames):
        notes.append(calibration_remarks.ring_focusing())
    if not session.turned and calibration.estimates.values["rear_principal_plane_mm"] is None:
        notes.append(calibration_remarks.open_rear_plane())
    return notes


def interpolation_notes(wanted: float | None, marks: Sequence[float]) -> Notes:
    """Where the lenses of a zoom are, and what one between settings is worth."""
    if wanted is None:
        return [calibration_remarks.settings_of_zoom()]
    if wanted in marks:
        return [calibration_remarks.measured_setting()]
    return [calibration_remarks.interpolated_setting(len(marks))]
