"""The answer of `/v1/lens-calibration`."""

from marshmallow import fields, validate

from closeup_service.estimates import readings
from closeup_service.measuring.lens.calibration import QUANTITIES
from closeup_service.operations.measure.lens_calibration.schemas import MOST_FRAMES, MOST_SETTINGS
from closeup_service.schemas.answers import MOST_NOTES, OpenSchema, RemarkSchema
from closeup_service.schemas.estimated import EstimatedAnswerSchema
from closeup_service.schemas.fields import Number, result
from closeup_service.schemas.known_lens import LENS_CLASSES
from closeup_service.schemas.lens_mounting import MOUNTINGS
from closeup_service.set_ups.uncertainty import PARAMETERS

MOST_COUNT = 1_000_000


def names_field(names: tuple[str, ...]) -> fields.List[str]:
    """Names of the rows and columns of a covariance."""
    return fields.List(
        fields.String(validate=validate.OneOf(names)),
        required=True,
        validate=validate.Length(0, len(names)),
        metadata={"description": "What the covariance is of, in its order."},
    )


COVARIANCE = "Covariance of the parameters, row by row, in the units of both."


def covariance_field(
    most: int, description: str = COVARIANCE, required: bool = True
) -> fields.List[list[float | None]]:
    """Covariance of an answer."""
    entry = Number(metadata={"description": "Covariance of two parameters.", "format": "double"})
    row = fields.List(entry, validate=validate.Length(1, most), metadata={"description": "One row."})
    return fields.List(
        row,
        required=required,
        validate=validate.Length(0, most),
        metadata={"description": description},
    )


def count_field(description: str) -> fields.Integer:
    """Count that may be null."""
    return fields.Integer(
        required=True,
        allow_none=True,
        validate=validate.Range(0, MOST_COUNT),
        metadata={"description": description, "format": "int32"},
    )


class LensEstimate(OpenSchema):
    """One number for each quantity of a measured lens; null where it is not determined."""

    focal_length_mm = result("focal_length_mm")
    front_principal_plane_mm = result("front_principal_plane_mm")
    rear_principal_plane_mm = result("rear_principal_plane_mm")
    extension_at_infinity_mm = result("extension_at_infinity_mm")
    pupil_magnification = result("pupil_magnification")
    principal_plane_separation_mm = result("principal_plane_separation_mm")
    f_number_estimate = result("f_number_estimate")


class FrameResidual(OpenSchema):
    """One frame against the fitted lens."""

    extension_mm = result(
        "extension_mm", meaning="Extension in all, as it counts for the magnification.", nullable=False
    )
    magnification = result("magnification", nullable=False)
    magnification_residual = result("magnification_residual", nullable=False)
    magnification_uncertainty = result(
        "magnification_uncertainty", meaning="Its standard uncertainty, as stated or from the scatter."
    )
    standardised_residual = result("standardised_residual")
    outlier = fields.Boolean(
        required=True,
        metadata={
            "description": "Whether the frame lies beyond what the others admit, by its studentised deleted residual."
        },
    )
    working_distance_residual_mm = result("working_distance_residual_mm")
    subject_to_sensor_residual_mm = result("subject_to_sensor_residual_mm")


class AddedFrames(OpenSchema):
    """So many further frames at one extension."""

    extension_mm = result("extension_mm", meaning="Extension in all.", nullable=False)
    frames = fields.Integer(
        required=True,
        validate=validate.Range(1, MOST_COUNT),
        metadata={"description": "Number of frames.", "format": "int32"},
    )


class MeasuredUncertainty(OpenSchema):
    """Standard uncertainties of a lens and how they go together."""

    parameters = names_field(PARAMETERS)
    covariance = covariance_field(len(PARAMETERS))
    degrees_of_freedom = Number(
        metadata={
            "description": "Degrees of freedom of the frames' scatter; left out where all uncertainties were stated.",
            "format": "double",
        }
    )
    scatter_covariance = covariance_field(
        len(PARAMETERS),
        "Part of the covariance that rests on the frames' scatter and so has those degrees of freedom; the rest was stated.",
        required=False,
    )


class MeasuredLens(OpenSchema):
    """The lens as an element of a train: it can be pasted as it is."""

    element = fields.String(
        required=True, validate=validate.OneOf(("lens",)), metadata={"description": "Kind of element."}
    )
    focal_length_mm = result("focal_length_mm", nullable=False)
    front_principal_plane_mm = Number(metadata=result("front_principal_plane_mm").metadata)
    register_mm = Number(metadata=result("register_mm").metadata)
    rear_principal_plane_mm = Number(metadata=result("rear_principal_plane_mm").metadata)
    principal_plane_separation_mm = Number(metadata=result("principal_plane_separation_mm").metadata)
    pupil_magnification = Number(metadata=result("pupil_magnification").metadata)
    f_number = Number(metadata=result("f_number").metadata)
    reversed = fields.Boolean(
        metadata={"description": "Present and true where the frames were taken with it reversed."}
    )
    uncertainty = fields.Nested(MeasuredUncertainty)


class LensMembers(LensEstimate):
    """A lens measured, with standard uncertainties, intervals, and what the frames say of themselves."""

    uncertainty = fields.Nested(LensEstimate, required=True)
    lower_95 = fields.Nested(LensEstimate, required=True)
    upper_95 = fields.Nested(LensEstimate, required=True)
    parameters = names_field(QUANTITIES)
    covariance = covariance_field(len(QUANTITIES))
    degrees_of_freedom = count_field(
        "Degrees of freedom: of the frames' scatter where that was taken, rounded down, else of chi_square. The intervals take "
        "the scatter's for what rests on it, and more or no limit for what rests on stated uncertainties too."
    )
    chi_square = result("chi_square")
    residuals = fields.List(
        fields.Nested(FrameResidual),
        required=True,
        validate=validate.Length(0, MOST_FRAMES),
        metadata={"description": "Every frame, in the order given; empty where no lens is fitted to them."},
    )
    repeats_to_halve = count_field(
        "How often all present frames would have to be taken again to halve the 95 % interval of the focal length (where that "
        "was known, of the plane); null where no uncertainty is known, or where no number of them does."
    )
    frames_to_halve = fields.List(
        fields.Nested(AddedFrames),
        required=True,
        validate=validate.Length(0, 2),
        metadata={
            "description": "Or fewer frames, at the extensions where they tell most; empty where none helps or no uncertainty "
            "is known."
        },
    )
    lens = fields.Nested(MeasuredLens)


class SettingLens(LensMembers):
    """The lens at one setting of a zoom."""

    setting = result("setting", nullable=False)
    remarks = fields.List(
        fields.Nested(RemarkSchema),
        required=True,
        validate=validate.Length(0, MOST_NOTES),
        metadata={"description": "What is worth knowing about this setting."},
    )


def known_number(name: str) -> Number:
    """Datum of a known lens, present where it is known."""
    return Number(metadata=result(name).metadata)


class KnownFrame(OpenSchema):
    """A frame of a ruler, as a lens that is to be estimated takes it."""

    mounting = fields.String(
        required=True, validate=validate.OneOf(MOUNTINGS), metadata={"description": "Which way round the lens stood."}
    )
    extension_mm = result("extension_mm", meaning="Extension in all, with that of the focus ring.", nullable=False)
    camera_register_mm = result("camera_register_mm", nullable=False)
    magnification = result("magnification", nullable=False)
    magnification_uncertainty = known_number("magnification_uncertainty")


class KnownLensElement(OpenSchema):
    """What is known of the lens, as an element of a train: with estimate_unknown it gives ranges there too."""

    element = fields.String(
        required=True, validate=validate.OneOf(("lens",)), metadata={"description": "Kind of element."}
    )
    reversed = fields.Boolean(
        metadata={"description": "Present and true where the frames were taken with it reversed."}
    )
    focal_length_mm = result("focal_length_mm", nullable=False)
    register_mm = known_number("register_mm")
    f_number = known_number("f_number")
    front_principal_plane_mm = known_number("front_principal_plane_mm")
    principal_plane_separation_mm = known_number("principal_plane_separation_mm")
    uncertainty = fields.Nested(MeasuredUncertainty)
    lens_class = fields.String(
        required=True,
        validate=validate.OneOf(LENS_CLASSES),
        metadata={"description": "Class of the lens, of /v1/catalogue/lens-classes."},
    )
    widest_f_number = known_number("widest_f_number")
    zoom_from_mm = known_number("zoom_from_mm")
    zoom_to_mm = known_number("zoom_to_mm")
    barrel_length_mm = known_number("barrel_length_mm")
    barrel_length_uncertainty_mm = known_number("barrel_length_uncertainty_mm")
    entrance_pupil_depth_mm = known_number("entrance_pupil_depth_mm")
    entrance_pupil_depth_uncertainty_mm = known_number("entrance_pupil_depth_uncertainty_mm")
    entrance_pupil_diameter_mm = known_number("entrance_pupil_diameter_mm")
    exit_pupil_diameter_mm = known_number("exit_pupil_diameter_mm")
    pupil_ratio_uncertainty = known_number("pupil_ratio_uncertainty")
    measured = fields.List(
        fields.Nested(KnownFrame),
        validate=validate.Length(1, readings.MOST_FRAMES),
        metadata={
            "description": "Frames that count as readings; left out where the lens fitted to them stands for them."
        },
    )


class LensCalibrationAnswer(LensMembers, EstimatedAnswerSchema):
    """The lens measured; of a zoom the one at interpolate_at, and every setting for itself.

    With estimate_unknown what the frames leave open is a median over the lenses that it may be, and stands under estimated.
    """

    known_lens = fields.Nested(KnownLensElement)

    settings = fields.List(
        fields.Nested(SettingLens),
        required=True,
        validate=validate.Length(0, MOST_SETTINGS),
        metadata={"description": "Every setting of a zoom, in the order given; empty for a single lens."},
    )
