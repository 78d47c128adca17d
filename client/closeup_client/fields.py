"""What each operation can be asked with: the keyword arguments of the client's methods, checked by type checkers.

Lengths are in mm, wavelengths in nm, pixels in um; the unit ends the name and ratios have none. Members that are not
marked as required are optional to the type; which of them belong together, the service says.
"""

from collections.abc import Mapping, Sequence
from typing import Literal, Required, TypeAlias, TypedDict, Unpack

from closeup_client.elements import Element
from closeup_client.exposure_fields import ExposureOfSetUpFields, ExposureSettings, Frame
from closeup_client.gear_fields import KitFields
from closeup_client.shared_fields import Mounting, MountingFields, SensorFields, StepsFields

FlashShape: TypeAlias = Literal["exponential", "cut"]
DepthModel: TypeAlias = Literal["combined", "geometric", "wave", "contrast"]
Light: TypeAlias = Literal["one-wavelength", "white"]
LightSource: TypeAlias = Literal["sun", "lamp", "ultraviolet-lamp", "laser"]
SubjectKind: TypeAlias = Literal["still", "living", "person", "wet-specimen", "fluid-specimen"]
StackMethod: TypeAlias = Literal["rail", "ring"]
RingMoves: TypeAlias = Literal["lens", "rear-standard"]
FramingBy: TypeAlias = Literal["width", "height", "diagonal"]
ApertureSeries: TypeAlias = Literal["full", "half", "third"]


class SurroundingsFields(TypedDict, total=False):
    """What surrounds the picture; it changes no number, and decides which cautions an answer carries."""

    subject_kind: SubjectKind
    light_source: LightSource
    mains_powered: bool
    modelling_lamp_distance_mm: float
    least_lamp_distance_mm: float
    duty_limit_pops: float
    old_flash: bool
    trigger_voltage_v: float
    trigger_limit_v: float


class MagnificationFields(SensorFields, MountingFields, StepsFields, total=False):
    """The subject's width or height, the extension or the working distance, with the lens data that this route needs."""

    subject_width_mm: float
    subject_height_mm: float
    extension_mm: float
    working_distance_mm: float
    focal_length_mm: float
    focusing_extension_mm: float
    lens_register_mm: float
    camera_register_mm: float
    front_principal_plane_mm: float


class WorkingDistanceFields(MountingFields, StepsFields, total=False):
    """One lens at a magnification; `lens_register_mm` is needed where it is reversed."""

    focal_length_mm: Required[float]
    magnification: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float
    principal_plane_separation_mm: float


class MarkedAperture(MountingFields, total=False):
    """One lens at a marked f-number and a magnification."""

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float


class EffectiveFNumberFields(MarkedAperture, StepsFields, total=False):
    """One lens at a marked f-number and a magnification."""


class LightFields(TypedDict, total=False):
    """Light of the sums (assumed one wavelength of 550 nm), and the linear share of the pixels that is sensitive."""

    wavelength_nm: float
    light: Light
    pixel_fill: float


class DetailFields(LightFields, total=False):
    """The detail that counts, on the sensor or on the subject, and the contrast asked of it (assumed 0.3)."""

    sensor_detail_lp_per_mm: float
    subject_detail_lp_per_mm: float
    contrast: float


class PrintFields(TypedDict, total=False):
    """The finished print, whose viewer sets the blur accepted on the sensor."""

    print_width_mm: float
    viewing_distance_mm: float
    acuity_arcmin: float


class SharpnessFields(MarkedAperture, DetailFields, PrintFields, SensorFields, total=False):
    """One lens as above, with what the model of sharpness (assumed combined) is measured by.

    Blur accepted on the sensor, a print with the sensor, or the sensor to assume it from; for `contrast` a detail.
    """

    circle_of_confusion_mm: float
    pixel_pitch_um: float
    focal_length_mm: float
    model: DepthModel


class DepthOfFieldFields(SharpnessFields, StepsFields, total=False):
    """One lens, and what the depth of field is measured by."""


class DiffractionFields(MarkedAperture, LightFields, PrintFields, SensorFields, StepsFields, total=False):
    """One lens as above, what is known of the sensor, and details whose contrast is wanted."""

    circle_of_confusion_mm: float
    pixel_pitch_um: float
    sensor_details_lp_per_mm: Sequence[float]
    subject_details_lp_per_mm: Sequence[float]


class OptimumApertureFields(MountingFields, DetailFields, StepsFields, total=False):
    """A subject's depth at a magnification, the detail that counts, and the ring: a series between two ends, or a list."""

    subject_depth_mm: Required[float]
    magnification: Required[float]
    pupil_magnification: float
    focal_length_mm: float
    pixel_pitch_um: float
    aperture_series: ApertureSeries
    least_f_number: float
    greatest_f_number: float
    f_numbers: Sequence[float]


class FormatEquivalenceFields(MarkedAperture, SensorFields, StepsFields, total=False):
    """One lens as above on this sensor, and the other sensor, by its id or both its measures.

    The lens on the other camera is the same as mounted here where `other_` members do not say otherwise; the blur accepted
    and the framing (assumed by width) are those of the finished picture.
    """

    other_sensor: str
    other_sensor_width_mm: float
    other_sensor_height_mm: float
    framing_by: FramingBy
    circle_of_confusion_mm: float
    focal_length_mm: float
    lens_register_mm: float
    front_principal_plane_mm: float
    other_mounting: Mounting
    other_pupil_magnification: float
    other_focal_length_mm: float
    other_lens_register_mm: float
    other_front_principal_plane_mm: float
    other_focusing_extension_mm: float
    other_camera_register_mm: float


class FlashFields(SurroundingsFields, MountingFields, StepsFields, total=False):
    """The flash's guide number (metres at ISO 100, full power), or those of unequal heads, and what is known of the rest.

    With aperture and distance given the power is solved for, unless it is given, and then the number of flashes.
    """

    guide_number_m: float
    guide_numbers_m: Sequence[float]
    heads: float
    iso: float
    f_number: float
    effective_f_number: float
    flash_distance_mm: float
    flash_distances_mm: Sequence[float]
    flash_power_fraction: float
    pops: float
    transmission: float
    source_diameter_mm: float
    magnification: float
    pupil_magnification: float


class ClearOpeningFields(EffectiveFNumberFields, SensorFields, total=False):
    """One lens as above, what the frame shows (a diagonal, or the sensor), and exactly one of the distances."""

    focal_length_mm: Required[float]
    front_principal_plane_mm: float
    lens_register_mm: float
    focusing_extension_mm: float
    subject_diagonal_mm: float
    distance_mm: float
    distances_mm: Sequence[float]
    distance_from_subject_mm: float
    opening_diameter_mm: float


class MotionBlurFields(SensorFields, MountingFields, SurroundingsFields, StepsFields, total=False):
    """At least one motion, how long light falls (shutter, or flash in one form), and the blur that is allowed."""

    magnification: Required[float]
    sideways_speed_mm_s: float
    axial_speed_mm_s: float
    rotation_rad_s: float
    rotation_distance_mm: float
    vibration_amplitude_um: float
    vibration_frequency_hz: float
    focal_length_mm: float
    pupil_magnification: float
    exposure_time_s: float
    flash_t01_s: float
    flash_t05_s: float
    flash_shape: FlashShape
    ambient_share: float
    pixel_pitch_um: float
    depth_mm: float
    allowed_blur_um: float
    allowed_blur_pixels: float
    circle_of_confusion_mm: float


class StackFields(SharpnessFields, SurroundingsFields, total=False):
    """As for the depth of field, with how deep the subject is; `focal_length_mm` is needed for method `ring`."""

    subject_depth_mm: Required[float]
    method: StackMethod
    overlap: float
    ring_moves: RingMoves
    rail_step_um: float
    clearance_mm: float
    settle_s: float
    exposure_time_s: float
    flash_recycle_s: float


class FocusStackFields(StackFields, StepsFields, total=False):
    """One lens, the subject's depth, and how the frames are taken."""


class Camera(SensorFields, total=False):
    """The camera: `use`, the id of one in the kit; or its register (mount flange to sensor) and what is known of its sensor."""

    use: str
    register_mm: float
    pixel_pitch_um: float
    circle_of_confusion_mm: float


class Target(TypedDict, total=False):
    """What the open length is to reach: exactly one."""

    magnification: float
    working_distance_mm: float
    subject_width_mm: float


class Solve(TypedDict, total=False):
    """The open length, by the JSON pointer of the member left out of the train, its range in mm, and its target."""

    unknown: Required[str]
    minimum: float
    maximum: float
    target: Required[Target]


class SetUpDocument(DetailFields, PrintFields, total=False):
    """A camera, and the train that light passes, subject first."""

    camera: Required[Camera]
    train: Required[Sequence[Element]]
    depth_of_field_model: DepthModel
    subject_depth_mm: float


class FrameSetUp(SetUpDocument, total=False):
    """A set-up, and the open length to solve, where there is one."""

    solve: Solve


class OpeningOfSetUp(TypedDict, total=False):
    """Where an opening stands before the front of the set-up, and how wide it is, in mm."""

    distance_mm: Required[float]
    opening_diameter_mm: float


class WholeSetUp(FrameSetUp, SurroundingsFields, KitFields, total=False):
    """The set-up document: a set-up, and the exposure with it where one is asked for."""

    exposure: ExposureOfSetUpFields
    clear_opening: OpeningOfSetUp


class SetUpFields(WholeSetUp, StepsFields, total=False):
    """The set-up document of which everything is asked."""


class ExposureFields(ExposureSettings, SurroundingsFields, KitFields, StepsFields, total=False):
    """A frame that was right, what changes in the next, and the setting to be found; a set-up may stand for a lens."""

    planned: Frame
    reference_set_up: FrameSetUp
    planned_set_up: FrameSetUp


class TableFields(SetUpDocument, KitFields, total=False):
    """The set-up document; values of its members, row by row, by JSON pointer; and which results are asked of every row."""

    columns: Required[Mapping[str, Sequence[float] | Sequence[str]]]
    fields: Required[Sequence[str]]


def camera(**known: Unpack[Camera]) -> Camera:
    """Camera of the kit by `use`; or with its register in mm, and its sensor by id or measures where known."""
    return known


def solve(**wanted: Unpack[Solve]) -> Solve:
    """Ask for an open length, such as `solve(unknown="/train/1/length_mm", target={"magnification": 2})`."""
    return wanted
