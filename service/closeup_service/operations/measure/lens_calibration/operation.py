"""`/v1/lens-calibration`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor, isinf
from typing import TYPE_CHECKING, Any, TypeAlias, cast

from msgspec.structs import replace

from closeup_service.advice import cautions
from closeup_service.advice.caution_texts import Caution
from closeup_service.advice.remark import Remark
from closeup_service.measuring.lens.calibration import (
    QUANTITIES,
    Calibration,
    Estimates,
    Residual,
    calibrate,
    frames_tell_register,
)
from closeup_service.measuring.lens.more_frames import MoreFrames, extensions
from closeup_service.measuring.lens.records import INFINITY_STOP_PLAY_MM, Frame, Measured, Session
from closeup_service.measuring.lens.zoom import interpolate_lens
from closeup_service.operations.measure.lens_calibration.answer_schemas import LensCalibrationAnswer
from closeup_service.operations.measure.lens_calibration.estimated import (
    KNOWN_DATA,
    Fitted,
    answer_estimated,
    tell_apart,
)
from closeup_service.operations.measure.lens_calibration.examples import EXAMPLES
from closeup_service.operations.measure.lens_calibration.notes import interpolation_notes, notes_on
from closeup_service.operations.measure.lens_calibration.schemas import LensCalibrationRequest, every_frame
from closeup_service.operations.operation import Example, Operation
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.worked.board import Step
from closeup_service.worked.measuring import lens_calibration_steps, lens_steps

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

Lens: TypeAlias = "requests.CalibrationFields | requests.ZoomSetting"
_ROUNDING = 1e-6
IN_A_TRAIN = {name: name for name in QUANTITIES if name != "extension_at_infinity_mm"} | {
    "f_number_estimate": "f_number"
}
"""What a train calls each quantity."""


def answer(asked: requests.LensCalibrationRequest) -> answers.LensCalibrationAnswer:
    """Measure one lens, or a zoom at each of its settings; estimate what the frames leave open where that is asked for."""
    if asked.get(ESTIMATE_UNKNOWN) is True:
        return answer_estimated(asked, tell_frames(asked))
    return answer_by_frames(asked)


def tell_frames(asked: requests.LensCalibrationRequest) -> Fitted | None:
    """What frames tell of a lens by themselves, whatever is engraved on it; None where they stand at one extension."""
    if not tell_apart(asked):
        return None
    session = replace(session_of(asked, asked, ""), focal_length=None)
    calibration = calibrate(session, asked.get("least_extension_mm"), asked.get("greatest_extension_mm"))
    estimates = calibration.estimates
    known = [name for name in KNOWN_DATA if estimates.values[name] is not None]
    return Fitted(
        told=members(calibration),
        uncertainty=uncertainty_of(estimates, known),
        assumed=assumed(asked),
        remarks=notes_on(calibration),
    )


def answer_by_frames(asked: requests.CalibrationFields) -> answers.LensCalibrationAnswer:
    """Measure one lens, or a zoom at each of its settings, by the frames alone."""
    taken = assumed(asked)
    usual = cautions.sort_cautions(cautions.mounting_cautions(asked.get("mounting", "normal")))
    if "settings" not in asked:
        calibration = measured(asked, asked, "")
        return put_together(members(calibration), taken, usual, notes_on(calibration), [])
    calibrations = [measured(asked, each, f"/settings/{index}") for index, each in enumerate(asked["settings"])]
    marks = [each["setting"] for each in asked["settings"]]
    settings: list[answers.SettingLens] = [
        {"setting": mark, **members(each), "remarks": notes_on(each)}
        for mark, each in zip(marks, calibrations, strict=True)
    ]
    notes = interpolation_notes(asked.get("interpolate_at"), marks)
    return put_together(between_settings(asked, marks, calibrations), taken, usual, notes, settings)


def put_together(
    lens: answers.LensMembers,
    taken: Mapping[str, float | str],
    usual: Sequence[Caution],
    notes: Sequence[Remark],
    settings: Sequence[answers.SettingLens],
) -> answers.LensCalibrationAnswer:
    """Answer of one lens, with the settings of a zoom."""
    more = {"assumed": taken, "cautions": usual, "remarks": notes, "settings": settings}
    return cast("answers.LensCalibrationAnswer", {**lens, **more})


def measured(asked: requests.CalibrationFields, lens: Lens, pointer: str) -> Calibration:
    """Measure the lens of one setting."""
    return calibrate(
        session_of(asked, lens, pointer), asked.get("least_extension_mm"), asked.get("greatest_extension_mm")
    )


def session_of(asked: requests.CalibrationFields, lens: Lens, pointer: str) -> Session:
    """Read what was measured of one lens."""
    return Session(
        frames=[frame_of(frame) for frame in lens["frames"]],
        turned=asked.get("mounting") == "reversed",
        camera_register=asked.get("camera_register_mm"),
        lens_register=asked.get("lens_register_mm"),
        infinity_stop_play=asked.get("infinity_stop_play_mm", INFINITY_STOP_PLAY_MM),
        relative=asked.get("error_model") == "relative",
        focal_length=reading(lens.get("focal_length_mm"), lens.get("focal_length_uncertainty_mm")),
        entrance_pupil=reading(
            lens.get("entrance_pupil_diameter_mm"), lens.get("entrance_pupil_diameter_uncertainty_mm")
        ),
        exit_pupil=reading(lens.get("exit_pupil_diameter_mm"), lens.get("exit_pupil_diameter_uncertainty_mm")),
        reference_f_number=lens.get("reference_f_number"),
        light_loss=reading(lens.get("reference_light_loss_stops"), lens.get("reference_light_loss_uncertainty_stops")),
        pointer=pointer,
    )


def frame_of(frame: requests.CalibrationFrame) -> Frame:
    """Read one frame."""
    return Frame(
        extension=frame.get("extension_mm", 0.0),
        magnification=Measured(frame["magnification"], frame.get("magnification_uncertainty")),
        focusing=frame.get("focusing_extension_mm", 0.0),
        working_distance=reading(frame.get("working_distance_mm"), frame.get("working_distance_uncertainty_mm")),
        subject_to_sensor=reading(frame.get("subject_to_sensor_mm"), frame.get("subject_to_sensor_uncertainty_mm")),
    )


def reading(value: float | None, uncertainty: float | None) -> Measured | None:
    """Read a quantity with its uncertainty; None where it was not given."""
    return None if value is None else Measured(value, uncertainty)


def assumed(asked: requests.CalibrationFields) -> dict[str, float | str]:
    """What was taken because it was not given."""
    found: dict[str, float | str] = {}
    if "mounting" not in asked:
        found["mounting"] = "normal"
    if "error_model" not in asked and any("magnification_uncertainty" not in frame for frame in every_frame(asked)):
        found["error_model"] = "constant"
    if "lens_register_mm" in asked and "infinity_stop_play_mm" not in asked:
        found["infinity_stop_play_mm"] = INFINITY_STOP_PLAY_MM
    return found


def members(calibration: Calibration) -> answers.LensMembers:
    """Write one measured lens as the answer's members."""
    fit, session = calibration.fit, calibration.session
    stations = zip(extensions(session).tolist(), session.frames, calibration.residuals, strict=True)
    told = estimate_members(
        calibration.estimates,
        calibration.more,
        degrees_of(calibration),
        fit.square_sum if fit.spare else None,
        [residual_members(*station) for station in stations],
    )
    told["lens"] = pasteable(session, calibration.estimates)
    return told


def degrees_of(calibration: Calibration) -> int | None:
    """Degrees of freedom of the scatter, rounded down (GUM, G.4.1), or of chi-square where the uncertainties were stated."""
    fit = calibration.fit
    if fit.covariance is None:
        return None
    return fit.spare if isinf(fit.degrees) else floor(fit.degrees + _ROUNDING)


def estimate_members(
    estimates: Estimates,
    more: MoreFrames,
    degrees: int | None = None,
    chi_square: float | None = None,
    residuals: Sequence[answers.FrameResidual] = (),
) -> answers.LensMembers:
    """Values, uncertainties, intervals and covariance; what the frames say of themselves; what would halve the interval."""
    intervals = {name: estimates.interval(name) or (None, None) for name in QUANTITIES}
    values = estimates.values
    return {
        "focal_length_mm": values["focal_length_mm"],
        "front_principal_plane_mm": values["front_principal_plane_mm"],
        "rear_principal_plane_mm": values["rear_principal_plane_mm"],
        "extension_at_infinity_mm": values["extension_at_infinity_mm"],
        "pupil_magnification": values["pupil_magnification"],
        "principal_plane_separation_mm": values["principal_plane_separation_mm"],
        "f_number_estimate": values["f_number_estimate"],
        "uncertainty": by_quantity({name: estimates.uncertainty(name) for name in QUANTITIES}),
        "lower_95": by_quantity({name: ends[0] for name, ends in intervals.items()}),
        "upper_95": by_quantity({name: ends[1] for name, ends in intervals.items()}),
        "parameters": list(estimates.parameters),
        "covariance": [] if estimates.covariance is None else estimates.covariance.tolist(),
        "degrees_of_freedom": degrees,
        "chi_square": chi_square,
        "residuals": [*residuals],
        "repeats_to_halve": more.repeats,
        "frames_to_halve": [{"extension_mm": each.extension, "frames": each.frames} for each in more.added],
    }


def by_quantity(numbers: Mapping[str, float | None]) -> answers.LensEstimate:
    """Numbers of the `QUANTITIES`, as a record."""
    return cast("answers.LensEstimate", numbers)


def residual_members(extension: float, frame: Frame, residual: Residual) -> answers.FrameResidual:
    """One frame against the fitted lens."""
    return {
        "extension_mm": extension,
        "magnification": frame.magnification.value,
        "magnification_residual": residual.magnification,
        "magnification_uncertainty": residual.sigma,
        "standardised_residual": residual.standardised,
        "outlier": residual.outlier,
        "working_distance_residual_mm": residual.working_distance,
        "subject_to_sensor_residual_mm": residual.subject_to_sensor,
    }


def pasteable(session: Session, estimates: Estimates) -> answers.MeasuredLens:
    """Write the lens as an element of a train, with its uncertainty where it has one."""
    told: dict[str, Any] = {
        own: value for name, own in IN_A_TRAIN.items() if (value := estimates.values[name]) is not None
    }
    own = [name for name in QUANTITIES if IN_A_TRAIN.get(name) in told]
    if session.lens_register is not None and not frames_tell_register(session):
        del told["rear_principal_plane_mm"]
        told["register_mm"] = session.lens_register
    if session.turned:
        told["reversed"] = True
    uncertainty = uncertainty_of(estimates, own)
    stated = {} if uncertainty is None else {"uncertainty": uncertainty}
    return cast("answers.MeasuredLens", {"element": "lens", **told, **stated})


def uncertainty_of(estimates: Estimates, names: Sequence[str]) -> answers.MeasuredUncertainty | None:
    """Uncertainty of some quantities as a lens of a train states it; None where none of them has one."""
    kept = [index for index, name in enumerate(estimates.parameters) if name in names]
    if not kept or estimates.covariance is None:
        return None
    stated = {
        "parameters": [IN_A_TRAIN[estimates.parameters[index]] for index in kept],
        "covariance": estimates.covariance[kept][:, kept].tolist(),
        **scatter_members(estimates, kept),
    }
    return cast("answers.MeasuredUncertainty", stated)


def scatter_members(estimates: Estimates, kept: list[int]) -> dict[str, float | list[list[float]]]:
    """What of the covariance rests on a scatter, with its degrees of freedom; nothing where all was stated."""
    if estimates.scatter is None:
        return {}
    return {
        "degrees_of_freedom": estimates.degrees,
        "scatter_covariance": estimates.scatter[kept][:, kept].tolist(),
    }


def between_settings(
    asked: requests.CalibrationFields, marks: list[float], calibrations: list[Calibration]
) -> answers.LensMembers:
    """Write the lens at the setting wanted; nulls where none is."""
    if "interpolate_at" not in asked:
        return estimate_members(Estimates(dict.fromkeys(QUANTITIES)), MoreFrames())
    if asked["interpolate_at"] in marks:
        return members(calibrations[marks.index(asked["interpolate_at"])])
    estimates = interpolate_lens(marks, [each.estimates for each in calibrations], asked["interpolate_at"])
    told = estimate_members(estimates, MoreFrames())
    told["lens"] = pasteable(calibrations[0].session, estimates)
    return told


def steps(asked: requests.LensCalibrationRequest, told: answers.LensCalibrationAnswer) -> list[Step]:
    """Steps of what the frames tell by themselves; what is estimated has none."""
    if asked.get(ESTIMATE_UNKNOWN) is not True:
        return lens_calibration_steps(asked, told)
    fitted = tell_frames(asked)
    return [] if fitted is None else lens_steps(asked, asked, fitted.told)


OPERATION = Operation(
    operation_id="calibrateLens",
    path="/v1/lens-calibration",
    tag="measure",
    summary="Focal length, planes and pupils of a lens, from frames of a ruler",
    description=(
        "Frames of a ruler at known extensions tell the focal length and, with the lens reversed, its front principal plane; "
        "working distances, distances from subject to sensor and the diameters of the pupils tell the rest. Weighted least "
        "squares, with standard uncertainties, 95 % intervals and covariance; lens can be pasted into a train as it is. Where "
        "the frames state no uncertainty, their scatter is taken, with Student's factor for what rests on it; lens carries the "
        "degrees of freedom along. The lens's own register, where given, is held against the frames, with the play of its "
        "infinity stop as its standard uncertainty. A zoom has several settings. With estimate_unknown one frame is enough: "
        "focal_length_mm is then the engraved one, and the frames are readings that narrow the published designs of the lens's "
        "class. Frames at several extensions that state uncertainties, or are three at least, alone tell what they can, as "
        "without the flag, and the designs fill what they leave open. estimated and ranges mark what is estimated; known_lens "
        "is what to paste into a train, with estimate_unknown, so that the ranges stay. One frame tells most of longer "
        "extensions than its own."
    ),
    answer=answer,
    answer_type=LensCalibrationAnswer,
    request_type=LensCalibrationRequest,
    by_query="document",
    steps=steps,
    examples=tuple(Example(*each) for each in EXAMPLES),
)
