"""`/v1/lens-calibration`."""

from collections.abc import Mapping
from math import floor, isinf
from typing import Any

from closeup_service.advice import cautions
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
from closeup_service.operations.measure.lens_calibration.examples import EXAMPLES
from closeup_service.operations.measure.lens_calibration.notes import interpolation_notes, notes_on
from closeup_service.operations.measure.lens_calibration.schemas import LensCalibrationRequest, every_frame
from closeup_service.operations.operation import Example, Operation
from closeup_service.worked.measuring import lens_calibration_steps

Asked = Mapping[str, Any]
_ROUNDING = 1e-6
IN_A_TRAIN = {name: name for name in QUANTITIES if name != "extension_at_infinity_mm"} | {
    "f_number_estimate": "f_number"
}
"""What a train calls each quantity."""


def answer(asked: Asked) -> dict[str, Any]:
    """Measure one lens, or a zoom at each of its settings."""
    common = {
        "assumed": assumed(asked),
        "cautions": cautions.sort_cautions(cautions.mounting_cautions(asked.get("mounting", "normal"))),
    }
    if "settings" not in asked:
        calibration = measured(asked, asked, "")
        return {**members(calibration), **common, "remarks": notes_on(calibration), "settings": []}
    calibrations = [measured(asked, each, f"/settings/{index}") for index, each in enumerate(asked["settings"])]
    marks = [each["setting"] for each in asked["settings"]]
    return {
        **between_settings(asked, marks, calibrations),
        **common,
        "remarks": interpolation_notes(asked.get("interpolate_at"), marks),
        "settings": [
            {"setting": mark, **members(each), "remarks": notes_on(each)}
            for mark, each in zip(marks, calibrations, strict=True)
        ],
    }


def measured(asked: Asked, lens: Asked, pointer: str) -> Calibration:
    """Measure the lens of one setting."""
    return calibrate(
        session_of(asked, lens, pointer), asked.get("least_extension_mm"), asked.get("greatest_extension_mm")
    )


def session_of(asked: Asked, lens: Asked, pointer: str) -> Session:
    """Read what was measured of one lens."""
    return Session(
        frames=[frame_of(frame) for frame in lens["frames"]],
        turned=asked.get("mounting") == "reversed",
        camera_register=asked.get("camera_register_mm"),
        lens_register=asked.get("lens_register_mm"),
        infinity_stop_play=asked.get("infinity_stop_play_mm", INFINITY_STOP_PLAY_MM),
        relative=asked.get("error_model") == "relative",
        focal_length=reading(lens, "focal_length_mm"),
        entrance_pupil=reading(lens, "entrance_pupil_diameter_mm"),
        exit_pupil=reading(lens, "exit_pupil_diameter_mm"),
        reference_f_number=lens.get("reference_f_number"),
        light_loss=reading(lens, "reference_light_loss_stops"),
        pointer=pointer,
    )


def frame_of(frame: Asked) -> Frame:
    """Read one frame."""
    return Frame(
        extension=frame.get("extension_mm", 0.0),
        magnification=Measured(frame["magnification"], frame.get("magnification_uncertainty")),
        focusing=frame.get("focusing_extension_mm", 0.0),
        working_distance=reading(frame, "working_distance_mm"),
        subject_to_sensor=reading(frame, "subject_to_sensor_mm"),
    )


def reading(given: Asked, name: str) -> Measured | None:
    """Read a quantity with its uncertainty, whose name bears the word before the unit; None where it was not given."""
    stem, _, unit = name.rpartition("_")
    return Measured(given[name], given.get(f"{stem}_uncertainty_{unit}")) if name in given else None


def assumed(asked: Asked) -> dict[str, Any]:
    """What was taken because it was not given."""
    found: dict[str, Any] = {}
    if "mounting" not in asked:
        found["mounting"] = "normal"
    if "error_model" not in asked and any("magnification_uncertainty" not in frame for frame in every_frame(asked)):
        found["error_model"] = "constant"
    if "lens_register_mm" in asked and "infinity_stop_play_mm" not in asked:
        found["infinity_stop_play_mm"] = INFINITY_STOP_PLAY_MM
    return found


def members(calibration: Calibration) -> dict[str, Any]:
    """Write one measured lens as the answer's members."""
    fit, session = calibration.fit, calibration.session
    told = {
        **estimate_members(calibration.estimates),
        "degrees_of_freedom": degrees_of(calibration),
        "chi_square": fit.square_sum if fit.spare else None,
        "residuals": [
            residual_members(extension, frame, residual)
            for extension, frame, residual in zip(
                extensions(session).tolist(), session.frames, calibration.residuals, strict=True
            )
        ],
        **more_members(calibration.more),
    }
    return told | {"lens": pasteable(session, calibration.estimates)}


def degrees_of(calibration: Calibration) -> int | None:
    """Degrees of freedom of the scatter, rounded down (GUM, G.4.1), or of chi-square where the uncertainties were stated."""
    fit = calibration.fit
    if fit.covariance is None:
        return None
    return fit.spare if isinf(fit.degrees) else floor(fit.degrees + _ROUNDING)


def estimate_members(estimates: Estimates) -> dict[str, Any]:
    """Values, uncertainties, intervals and covariance."""
    intervals = {name: estimates.interval(name) or (None, None) for name in QUANTITIES}
    covariance = [] if estimates.covariance is None else estimates.covariance.tolist()
    return {
        **estimates.values,
        "uncertainty": {name: estimates.uncertainty(name) for name in QUANTITIES},
        "lower_95": {name: ends[0] for name, ends in intervals.items()},
        "upper_95": {name: ends[1] for name, ends in intervals.items()},
        "parameters": list(estimates.parameters),
        "covariance": covariance,
    }


def residual_members(extension: float, frame: Frame, residual: Residual) -> dict[str, Any]:
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


def more_members(more: MoreFrames) -> dict[str, Any]:
    """What would halve the interval."""
    added = [{"extension_mm": each.extension, "frames": each.frames} for each in more.added]
    return {"repeats_to_halve": more.repeats, "frames_to_halve": added}


def pasteable(session: Session, estimates: Estimates) -> dict[str, Any]:
    """Write the lens as an element of a train, with its uncertainty where it has one."""
    told: dict[str, Any] = {
        own: value for name, own in IN_A_TRAIN.items() if (value := estimates.values[name]) is not None
    }
    kept = [index for index, name in enumerate(estimates.parameters) if IN_A_TRAIN.get(name) in told]
    if session.lens_register is not None and not frames_tell_register(session):
        del told["rear_principal_plane_mm"]
        told["register_mm"] = session.lens_register
    if session.turned:
        told["reversed"] = True
    if kept and estimates.covariance is not None:
        told["uncertainty"] = {
            "parameters": [IN_A_TRAIN[estimates.parameters[index]] for index in kept],
            "covariance": estimates.covariance[kept][:, kept].tolist(),
            **scatter_members(estimates, kept),
        }
    return {"element": "lens", **told}


def scatter_members(estimates: Estimates, kept: list[int]) -> dict[str, Any]:
    """What of the covariance rests on a scatter, with its degrees of freedom; nothing where all was stated."""
    if estimates.scatter is None:
        return {}
    return {
        "degrees_of_freedom": estimates.degrees,
        "scatter_covariance": estimates.scatter[kept][:, kept].tolist(),
    }


def between_settings(asked: Asked, marks: list[float], calibrations: list[Calibration]) -> dict[str, Any]:
    """Write the lens at the setting wanted; nulls where none is."""
    none: dict[str, Any] = {
        "degrees_of_freedom": None,
        "chi_square": None,
        "residuals": [],
        **more_members(MoreFrames()),
    }
    if "interpolate_at" not in asked:
        return estimate_members(Estimates(dict.fromkeys(QUANTITIES))) | none
    if asked["interpolate_at"] in marks:
        return members(calibrations[marks.index(asked["interpolate_at"])])
    estimates = interpolate_lens(marks, [each.estimates for each in calibrations], asked["interpolate_at"])
    return estimate_members(estimates) | none | {"lens": pasteable(calibrations[0].session, estimates)}


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
        "infinity stop as its standard uncertainty. A zoom has several settings."
    ),
    answer=answer,
    answer_schema=LensCalibrationAnswer(),
    request_schema=LensCalibrationRequest(),
    by_query="document",
    steps=lens_calibration_steps,
    examples=tuple(Example(*each) for each in EXAMPLES),
)
