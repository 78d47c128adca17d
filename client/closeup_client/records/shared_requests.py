"""What operations of several kinds can be asked with: keyword arguments of the client's methods, and what they hold.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Literal, Required, TypeAlias, TypedDict

Mounting: TypeAlias = Literal["normal", "reversed"]
DepthModel: TypeAlias = Literal["combined", "geometric", "wave", "contrast"]
Light: TypeAlias = Literal["one-wavelength", "white"]
LightSource: TypeAlias = Literal["sun", "lamp", "ultraviolet-lamp", "laser"]
SubjectKind: TypeAlias = Literal["still", "living", "person", "wet-specimen", "fluid-specimen"]
StackMethod: TypeAlias = Literal["rail", "ring"]
RingMoves: TypeAlias = Literal["lens", "rear-standard"]
ApertureSeries: TypeAlias = Literal["full", "half", "third"]
FrameLightKind: TypeAlias = Literal["continuous", "flash"]
PowerKind: TypeAlias = Literal["fraction", "joules", "stops-below-full", "dial"]
Setting: TypeAlias = Literal["exposure_time_s", "iso", "flash_power", "flash_distance_mm", "f_number"]
SearchModel: TypeAlias = Literal["combined", "geometric", "wave"]
ErrorModel: TypeAlias = Literal["constant", "relative"]
LensParameter: TypeAlias = Literal[
    "focal_length_mm",
    "front_principal_plane_mm",
    "rear_principal_plane_mm",
    "pupil_magnification",
    "principal_plane_separation_mm",
    "f_number",
]


class MeasuredMagnification(TypedDict, total=False):
    """A photograph of a ruler: the magnification it shows, and how the lens stood, focused on infinity.

    Members
    -------
    mounting : 'normal' | 'reversed', needed
        Which way round the lens stood.
    extension_mm : number, needed
        Rings, adapters and bellows behind the lens. [mm]
    camera_register_mm : number, needed
        Register of the camera: mount flange to sensor. [mm]
    magnification : number or None
        Magnification that was read.
    subject_width_mm : number or None
        Length of the ruler over the width of the frame. [mm]
    sensor_width_mm : number
        Used width of the sensor; needed with subject_width_mm. [mm]
    magnification_uncertainty : number or None
        Combined standard uncertainty of the magnification.
    """

    mounting: Required[Mounting]
    extension_mm: Required[float]
    camera_register_mm: Required[float]
    magnification: float | None
    subject_width_mm: float | None
    sensor_width_mm: float
    magnification_uncertainty: float | None


class KnownLensFields(TypedDict, total=False):
    """What stands on the barrel, and what was measured; it counts where lens data are estimated.

    Members
    -------
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    lens_class: str
    widest_f_number: float
    zoom_from_mm: float
    zoom_to_mm: float
    barrel_length_mm: float
    barrel_length_uncertainty_mm: float
    entrance_pupil_depth_mm: float
    entrance_pupil_depth_uncertainty_mm: float
    entrance_pupil_diameter_mm: float | None
    exit_pupil_diameter_mm: float
    pupil_ratio_uncertainty: float
    measured: Sequence[MeasuredMagnification]


class LensUncertainty(TypedDict, total=False):
    """What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them.

    Members
    -------
    parameters : Sequence of LensParameter, needed
        Members of this lens that are uncertain, each once. One of: focal_length_mm, front_principal_plane_mm,
        rear_principal_plane_mm, pupil_magnification, principal_plane_separation_mm, f_number.
    covariance : Sequence of Sequence of number, needed
        Covariance of the parameters, row by row: squares of the standard uncertainties on the diagonal.
    degrees_of_freedom : number
        Degrees of freedom of scatter_covariance, or of the whole covariance without that; left out where all
        uncertainties were stated beforehand. With few the 95 % intervals are wider than 1.96 standard uncertainties.
    scatter_covariance : Sequence of Sequence of number
        Part of the covariance that was estimated from a scatter, row by row; assumed all of it where degrees_of_freedom
        is given.
    """

    parameters: Required[Sequence[LensParameter]]
    covariance: Required[Sequence[Sequence[float]]]
    degrees_of_freedom: float
    scatter_covariance: Sequence[Sequence[float]]


class LensFields(KnownLensFields, total=False):
    """What is known of the element `lens`.

    Members
    -------
    focal_length_mm : number, needed
        Focal length at the focus setting in use. [mm]
    f_number : number or None
        f-number as marked and set on the lens.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    register_mm : number
        Register of the mount that the lens was made for. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    reversed : True or False
        Whether the lens stands back to front; if not given, it does not.
    front_diameter_mm : number
        Outer diameter of the lens's front. [mm]
    front_protrusion_mm : number
        What stands out beyond the joining face on the subject's side: rear glass, lever, hood, guard. [mm]
    image_circle_mm : number
        Diameter of the sharp image at infinity focus. [mm]
    uncertainty : LensUncertainty
        What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    focal_length_mm: Required[float]
    f_number: float | None
    pupil_magnification: float | None
    front_principal_plane_mm: float | None
    register_mm: float
    rear_principal_plane_mm: float | None
    principal_plane_separation_mm: float | None
    focusing_extension_mm: float
    reversed: bool
    front_diameter_mm: float
    front_protrusion_mm: float
    image_circle_mm: float
    uncertainty: LensUncertainty


class Lens(LensFields, total=False):
    """Camera, enlarger or any other thick lens.

    Members
    -------
    element : 'lens', needed
        Kind of element.
    focal_length_mm : number, needed
        Focal length at the focus setting in use. [mm]
    f_number : number or None
        f-number as marked and set on the lens.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    register_mm : number
        Register of the mount that the lens was made for. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    principal_plane_separation_mm : number or None
        Front to rear principal plane, signed; negative when they are crossed. For total lengths only. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    reversed : True or False
        Whether the lens stands back to front; if not given, it does not.
    front_diameter_mm : number
        Outer diameter of the lens's front. [mm]
    front_protrusion_mm : number
        What stands out beyond the joining face on the subject's side: rear glass, lever, hood, guard. [mm]
    image_circle_mm : number
        Diameter of the sharp image at infinity focus. [mm]
    uncertainty : LensUncertainty
        What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    element: Required[Literal["lens"]]


class SpacerFields(TypedDict, total=False):
    """What is known of the element `spacer`.

    Members
    -------
    length_mm : number or None
        Length between its two faces; required, but left out where solve names it. [mm]
    clear_diameter_mm : number or None
        Inner diameter that light passes. [mm]
    """

    length_mm: float | None
    clear_diameter_mm: float | None


class Spacer(SpacerFields, total=False):
    """Any tube, ring, bellows, helicoid or adapter.

    Members
    -------
    element : 'spacer', needed
        Kind of element.
    length_mm : number or None
        Length between its two faces; required, but left out where solve names it. [mm]
    clear_diameter_mm : number or None
        Inner diameter that light passes. [mm]
    """

    element: Required[Literal["spacer"]]


class CloseUpLensFields(TypedDict, total=False):
    """What is known of the element `close-up-lens`.

    Members
    -------
    power_dpt : number
        Power in dioptres: 1000 over the focal length in mm. [dpt]
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    length_mm : number or None
        Length between the part's two joining faces. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    """

    power_dpt: float
    focal_length_mm: float | None
    length_mm: float | None
    front_principal_plane_mm: float | None
    rear_principal_plane_mm: float | None


class CloseUpLens(CloseUpLensFields, total=False):
    """Supplementary lens screwed to the front; power or focal length.

    Members
    -------
    element : 'close-up-lens', needed
        Kind of element.
    power_dpt : number
        Power in dioptres: 1000 over the focal length in mm. [dpt]
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    length_mm : number or None
        Length between the part's two joining faces. [mm]
    front_principal_plane_mm : number or None
        Front joining face to front principal plane, positive inwards. [mm]
    rear_principal_plane_mm : number or None
        Rear joining face to rear principal plane, positive towards the camera. [mm]
    """

    element: Required[Literal["close-up-lens"]]


class TeleconverterFields(TypedDict, total=False):
    """What is known of the element `teleconverter`.

    Members
    -------
    factor : number, needed
        Factor of the converter on the focal length.
    added_length_mm : number
        Length the converter adds between lens and camera. [mm]
    focal_length_mm : number or None
        Focal length of the converter, negative; assumed that of a thin one. [mm]
    register_mm : number
        Register it is made for; assumed the camera's. [mm]
    """

    factor: Required[float]
    added_length_mm: float
    focal_length_mm: float | None
    register_mm: float


class Teleconverter(TeleconverterFields, total=False):
    """Negative lens between lens and camera.

    Members
    -------
    element : 'teleconverter', needed
        Kind of element.
    factor : number, needed
        Factor of the converter on the focal length.
    added_length_mm : number
        Length the converter adds between lens and camera. [mm]
    focal_length_mm : number or None
        Focal length of the converter, negative; assumed that of a thin one. [mm]
    register_mm : number
        Register it is made for; assumed the camera's. [mm]
    """

    element: Required[Literal["teleconverter"]]


class ObjectiveFields(TypedDict, total=False):
    """What is known of the element `objective`.

    Members
    -------
    magnification : number, needed
        Magnification as engraved.
    numerical_aperture : number, needed
        Sine of the half angle of the light from the subject.
    tube_lens_focal_length_mm : number
        Tube lens that an infinity-corrected objective is rated for. [mm]
    tube_length_mm : number
        Mechanical tube length engraved on a finite-conjugate objective. [mm]
    focal_length_mm : number or None
        Focal length of a finite-conjugate objective. [mm]
    working_distance_mm : number or None
        Front glass to subject, as its maker states it. [mm]
    parfocal_distance_mm : number
        Subject to the objective's shoulder when sharp. [mm]
    field_number_mm : number
        Diameter of the objective's image field. [mm]
    """

    magnification: Required[float]
    numerical_aperture: Required[float]
    tube_lens_focal_length_mm: float
    tube_length_mm: float
    focal_length_mm: float | None
    working_distance_mm: float | None
    parfocal_distance_mm: float
    field_number_mm: float


class Objective(ObjectiveFields, total=False):
    """Microscope objective, infinity-corrected or of finite conjugates, as engraved.

    Members
    -------
    element : 'objective', needed
        Kind of element.
    magnification : number, needed
        Magnification as engraved.
    numerical_aperture : number, needed
        Sine of the half angle of the light from the subject.
    tube_lens_focal_length_mm : number
        Tube lens that an infinity-corrected objective is rated for. [mm]
    tube_length_mm : number
        Mechanical tube length engraved on a finite-conjugate objective. [mm]
    focal_length_mm : number or None
        Focal length of a finite-conjugate objective. [mm]
    working_distance_mm : number or None
        Front glass to subject, as its maker states it. [mm]
    parfocal_distance_mm : number
        Subject to the objective's shoulder when sharp. [mm]
    field_number_mm : number
        Diameter of the objective's image field. [mm]
    """

    element: Required[Literal["objective"]]


class KitPartFields(TypedDict, total=False):
    """What is known of the element `kit-part`.

    Members
    -------
    use : text, needed
        Id of the part in the kit.
    reversed : True or False
        Whether a lens stands back to front; if not given, it does not.
    f_number : number or None
        f-number as marked and set on the lens.
    setting : text
        Id of the lens's setting; needed where it has several.
    length_mm : number or None
        How far bellows are drawn out; left out where solve names it. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    """

    use: Required[str]
    reversed: bool
    f_number: float | None
    setting: str
    length_mm: float | None
    focusing_extension_mm: float


class KitPart(KitPartFields, total=False):
    """A part of the kit; what is said of its use depends on the part.

    Members
    -------
    element : 'kit-part', needed
        Kind of element.
    use : text, needed
        Id of the part in the kit.
    reversed : True or False
        Whether a lens stands back to front; if not given, it does not.
    f_number : number or None
        f-number as marked and set on the lens.
    setting : text
        Id of the lens's setting; needed where it has several.
    length_mm : number or None
        How far bellows are drawn out; left out where solve names it. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    """

    element: Required[Literal["kit-part"]]


Element: TypeAlias = Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart
Kit: TypeAlias = Mapping[str, Any]


class SensorFields(TypedDict, total=False):
    """`sensor`, or `sensor_width_mm` and `sensor_height_mm`; loading turns the id into the measures.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    """

    sensor: str
    sensor_width_mm: float
    sensor_height_mm: float


class MountingFields(TypedDict, total=False):
    """`mounting`, assumed normal.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    """

    mounting: Mounting


class EstimatedLensFields(KnownLensFields, total=False):
    """The one lens of a quantity, whose unknown data may be estimated.

    Members
    -------
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    focal_length_mm : number or None
        Focal length; as engraved, where lens data are estimated. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    estimate_unknown: bool
    focal_length_mm: float | None
    lens_register_mm: float


class StepsFields(TypedDict, total=False):
    """Whether the answer tells its steps.

    Members
    -------
    show_steps : True or False
        Whether the answer tells its steps, each with formula, numbers put in, result and source; assumed false.
    """

    show_steps: bool


class MarkedAperture(MountingFields, EstimatedLensFields, total=False):
    """One lens at a marked f-number and a magnification.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    focal_length_mm : number or None
        Focal length; as engraved, where lens data are estimated. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    f_number: Required[float]
    magnification: Required[float]
    pupil_magnification: float | None


class LightFields(TypedDict, total=False):
    """Light of the sums, and the pixels' part in the contrast.

    Members
    -------
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    """

    wavelength_nm: float
    light: Light
    pixel_fill: float


class DetailFields(LightFields, total=False):
    """The detail whose contrast counts.

    Members
    -------
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    """

    sensor_detail_lp_per_mm: float | None
    subject_detail_lp_per_mm: float
    contrast: float


class PrintFields(TypedDict, total=False):
    """The finished print, as a way to the blur criterion.

    Members
    -------
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    """

    print_width_mm: float
    viewing_distance_mm: float
    acuity_arcmin: float


class SharpnessFields(MarkedAperture, DetailFields, PrintFields, SensorFields, total=False):
    """One lens at a marked f-number and a magnification, with what its model of sharpness is measured by.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    circle_of_confusion_mm: float | None
    pixel_pitch_um: float
    model: DepthModel


class SurroundingsFields(TypedDict, total=False):
    """All optional, and none changes a number: they decide which cautions the answer carries.

    Members
    -------
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    """

    subject_kind: SubjectKind
    light_source: LightSource
    mains_powered: bool
    modelling_lamp_distance_mm: float
    least_lamp_distance_mm: float
    duty_limit_pops: float
    old_flash: bool
    trigger_voltage_v: float
    trigger_limit_v: float


class FrameSettings(TypedDict, total=False):
    """What is set beside the lens; in the planned frame, what is left out stays as in the reference.

    Members
    -------
    exposure_time_s : number
        How long the shutter is open. [s]
    iso : number
        ISO speed set on the camera, or of the film.
    flash_power : number
        Power that the flash is set to, as the scale of its head counts it.
    flash_distance_mm : number or None
        Flash, or its diffuser, to the subject. [mm]
    source_diameter_mm : number
        Diameter of the luminous disc: the flash's window, or its diffuser. [mm]
    pops : number
        Flashes fired while the shutter is open.
    transmission : number
        Share of the light that filters before or in the lens let through, all together.
    flash_transmission : number
        Share of the flash's light that diffusers and filters before it let through, all together.
    filter_stops : number
        Light that filters before or in the lens take, all together. [stops]
    """

    exposure_time_s: float
    iso: float
    flash_power: float
    flash_distance_mm: float | None
    source_diameter_mm: float
    pops: float
    transmission: float
    flash_transmission: float
    filter_stops: float


class Frame(FrameSettings, MountingFields, total=False):
    """The frame that was right: its settings, and its aperture unless a set-up gives it.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    exposure_time_s : number
        How long the shutter is open. [s]
    iso : number
        ISO speed set on the camera, or of the film.
    flash_power : number
        Power that the flash is set to, as the scale of its head counts it.
    flash_distance_mm : number or None
        Flash, or its diffuser, to the subject. [mm]
    source_diameter_mm : number
        Diameter of the luminous disc: the flash's window, or its diffuser. [mm]
    pops : number
        Flashes fired while the shutter is open.
    transmission : number
        Share of the light that filters before or in the lens let through, all together.
    flash_transmission : number
        Share of the flash's light that diffusers and filters before it let through, all together.
    filter_stops : number
        Light that filters before or in the lens take, all together. [stops]
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    f_number : number or None
        f-number as marked and set on the lens.
    magnification : number or None
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    """

    effective_f_number: float | None
    f_number: float | None
    magnification: float | None
    pupil_magnification: float | None


class FlashScale(TypedDict, total=False):
    """The scale of the head's power setting, and its range; a dial needs all but the step.

    Members
    -------
    kind : 'fraction' | 'joules' | 'stops-below-full' | 'dial'
        What the head shows: a fraction of full power (assumed), joules, stops below full, or a numbered dial.
    least : number
        Lower end of the head's range, as the scale counts.
    greatest : number
        Upper end of the head's range, as the scale counts.
    unit_stops : number
        Light gained from one number of a dial to the next; negative where higher numbers are weaker. [stops]
    step_stops : number
        Stops between neighbouring settings of the flash's power. [stops]
    """

    kind: PowerKind
    least: float
    greatest: float
    unit_stops: float
    step_stops: float


class Ambient(TypedDict, total=False):
    """Ambient light: a meter's exposure value, or a test frame without flash, at the planned settings unless it says else.

    Members
    -------
    exposure_value : number
        Ambient light by a meter's reading of the subject, without flash, as exposure value at ISO 100.
    below_mid_grey_stops : number
        How much darker than mid-grey a test frame without flash shows the subject. [stops]
    exposure_time_s : number
        Exposure time of the test frame; assumed the planned. [s]
    iso : number
        ISO speed of the test frame; assumed the planned.
    effective_f_number : number or None
        That of the test frame; assumed the planned.
    black_stops : number
        Stops below mid-grey from which a picture counts as black; assumed 5 (common practice, no source). [stops]
    sideways_speed_mm_s : number
        Speed of the subject across the axis, against the camera. [mm/s]
    """

    exposure_value: float
    below_mid_grey_stops: float
    exposure_time_s: float
    iso: float
    effective_f_number: float | None
    black_stops: float
    sideways_speed_mm_s: float


class Finder(TypedDict, total=False):
    """The lens's widest mark, and the mark at which one looks and focuses.

    Members
    -------
    least_f_number : number, needed
        Widest mark of the lens.
    focusing_f_number : number
        Marked f-number at which one looks and focuses; assumed the widest.
    """

    least_f_number: Required[float]
    focusing_f_number: float


class ExposureSettings(TypedDict, total=False):
    """What every exposure is reckoned from, beside the planned frame.

    Members
    -------
    reference : Frame, needed
        The frame that was right: its settings, and its aperture unless a set-up gives it.
    unknown : 'exposure_time_s' | 'iso' | 'flash_power' | 'flash_distance_mm' | 'f_number', needed
        Setting of the planned frame to solve.
    light : 'continuous' | 'flash'
        Light that exposes the frames: flash (assumed where anything of a flash is given), or continuous.
    flash_scale : FlashScale
        The scale of the head's power setting, and its range; a dial needs all but the step.
    sync_time_s : number
        Shortest exposure time in which the whole frame is open to the flash, as the camera's maker states it. [s]
    ambient : Ambient
        Ambient light: a meter's exposure value, or a test frame without flash, at the planned settings unless it says
        else.
    finder : Finder
        The lens's widest mark, and the mark at which one looks and focuses.
    magnifications : Sequence of number
        Size on the sensor over size of the subject. Several values; in a query, separated by commas or each under the
        name again.
    """

    reference: Required[Frame]
    unknown: Required[Setting]
    light: FrameLightKind
    flash_scale: FlashScale
    sync_time_s: float
    ambient: Ambient
    finder: Finder
    magnifications: Sequence[float]


class Camera(SensorFields, total=False):
    """The camera: one of the kit's, or its register and what is known of its sensor.

    Members
    -------
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    use : text
        Id of a camera in the kit; beside it only circle_of_confusion_mm may be given.
    register_mm : number
        Mount flange to sensor; required, unless use names a camera. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    """

    use: str
    register_mm: float
    pixel_pitch_um: float
    circle_of_confusion_mm: float | None


class SetUpDocument(DetailFields, PrintFields, total=False):
    """A camera, and the train that light passes, subject first.

    Members
    -------
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    camera : Camera, needed
        The camera: one of the kit's, or its register and what is known of its sensor.
    train : Sequence of Lens | Spacer | CloseUpLens | Teleconverter | Objective | KitPart, needed
        What light passes, subject first.
    depth_of_field_model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    subject_depth_mm : number
        How far the subject stands out towards the lens. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    """

    camera: Required[Camera]
    train: Required[Sequence[Element]]
    depth_of_field_model: DepthModel
    subject_depth_mm: float
    estimate_unknown: bool


class Target(TypedDict, total=False):
    """What the open length is to reach: exactly one member.

    Members
    -------
    magnification : number or None
        Size on the sensor over size of the subject.
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    """

    magnification: float | None
    working_distance_mm: float | None
    subject_width_mm: float | None


class Solve(TypedDict, total=False):
    """Solve one open length of the train, left out there, for a target.

    Members
    -------
    unknown : text, needed
        JSON pointer of the open length, in mm, which is left out of the train.
    minimum : number
        Least length allowed, in mm; assumed the part's, or 0. [mm]
    maximum : number
        Greatest length allowed, in mm; assumed the part's, or the vocabulary's bound. [mm]
    target : Target, needed
        What the open length is to reach: exactly one member.
    """

    unknown: Required[str]
    minimum: float
    maximum: float
    target: Required[Target]


class StackFields(SharpnessFields, SurroundingsFields, total=False):
    """One lens at a marked f-number and a magnification, what counts as sharp, and how deep the subject is.

    Members
    -------
    subject_kind : 'still' | 'living' | 'person' | 'wet-specimen' | 'fluid-specimen'
        What the subject is, for the cautions: still and dry, living, a person, a wet specimen, or one in preserving
        fluid.
    light_source : 'sun' | 'lamp' | 'ultraviolet-lamp' | 'laser'
        What lights the subject beside any flash, for the cautions.
    mains_powered : True or False
        Whether a lamp or flash runs on mains power, for the cautions.
    modelling_lamp_distance_mm : number
        Modelling lamp, or another hot lamp, to the nearest thing that it lights, for the cautions. [mm]
    least_lamp_distance_mm : number
        Least distance that the lamp's maker allows, for the cautions. [mm]
    duty_limit_pops : number
        Flashes one after the other that the flash head's maker allows, for the cautions.
    old_flash : True or False
        Whether the flash is an old unit whose trigger voltage is not known, for the cautions.
    trigger_voltage_v : number
        Voltage on the contacts that join the flash to the camera, for the cautions. [V]
    trigger_limit_v : number
        Highest trigger voltage that the camera's maker allows, for the cautions. [V]
    sensor : text
        Sensor format by its id in /v1/catalogue/sensors, width x height in mm; zeros at the end of a measure may be
        left out or added.
    sensor_width_mm : number
        Used width of the sensor. [mm]
    sensor_height_mm : number
        Used height of the sensor. [mm]
    print_width_mm : number
        Width of the finished print of the whole frame. [mm]
    viewing_distance_mm : number
        Eye to print; assumed the print's width. [mm]
    acuity_arcmin : number
        Angle of the least blur that the viewer notices. [arcmin]
    wavelength_nm : number
        Wavelength of the light. [nm]
    light : 'one-wavelength' | 'white'
        Light of the contrast sums: the one wavelength (assumed), or white light.
    pixel_fill : number
        Share of the pixel pitch that is sensitive, linear.
    sensor_detail_lp_per_mm : number or None
        Fineness of the detail, in line pairs per mm on the sensor. [lp/mm]
    subject_detail_lp_per_mm : number
        Fineness of the detail, in line pairs per mm on the subject. [lp/mm]
    contrast : number
        Contrast asked of the detail, 1 being that of the subject.
    circle_of_confusion_mm : number or None
        Blur accepted on the sensor, as a diameter. [mm]
    pixel_pitch_um : number
        Centre to centre of the sensor's pixels. [um]
    model : 'combined' | 'geometric' | 'wave' | 'contrast'
        Model of the depth of field: geometric blur, a quarter wave of defocus, both added (combined, assumed), or the
        depth over which a detail keeps a contrast.
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    f_number : number, needed
        f-number as marked and set on the lens.
    magnification : number, needed
        Size on the sensor over size of the subject.
    pupil_magnification : number or None
        Exit pupil over entrance pupil diameter, of the lens mounted normally.
    focal_length_mm : number or None
        Focal length at the focus setting in use. [mm]
    subject_depth_mm : number, needed
        How far the subject stands out towards the lens. [mm]
    method : 'rail' | 'ring'
        What moves: a rail under camera and lens together (assumed), or the focus ring or a standard of the bellows.
    overlap : number or None
        Least share of the depth between two neighbouring frames that both are sharp over; assumed 0.2.
    ring_moves : 'lens' | 'rear-standard'
        What focusing moves, for method ring: the whole lens before a camera that stands still (assumed), by its focus
        ring or by the front standard of a bellows, which carries a reversed lens too; or the rear standard with the
        sensor behind a lens that stands still.
    rail_step_um : number
        Least step of the rail; moves are whole steps. [um]
    clearance_mm : number or None
        What is left between the subject's nearest point and what stands out in front, focused on that point. [mm]
    settle_s : number
        Wait after each move until nothing trembles. [s]
    exposure_time_s : number
        How long the shutter is open. [s]
    flash_recycle_s : number
        Wait until the flash is charged again. [s]
    lens_register_mm : number
        Register of the mount that the lens was made for. [mm]
    estimate_unknown : True or False
        Whether lens data that are not given are estimated from published designs of the lens's class, so that answers
        give ranges; assumed false.
    lens_class : text
        Class of the lens, of /v1/catalogue/lens-classes; assumed by its register and whether it is a zoom.
    widest_f_number : number
        Widest f-number, as engraved on the lens; of a zoom that at this focal length. Assumed the usual one of its
        class.
    zoom_from_mm : number
        Shortest focal length of a zoom, as engraved. [mm]
    zoom_to_mm : number
        Longest focal length of a zoom, as engraved. [mm]
    barrel_length_mm : number
        Front rim to mount flange, focused on infinity. [mm]
    barrel_length_uncertainty_mm : number
        Standard uncertainty of the barrel's length; assumed 1 mm. [mm]
    entrance_pupil_depth_mm : number
        How deep the iris seems to lie behind the front rim, seen from the front. [mm]
    entrance_pupil_depth_uncertainty_mm : number
        Standard uncertainty of how deep the iris seems to lie; assumed 3 mm. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear; with entrance_pupil_diameter_mm, or wide
        open with widest_f_number. [mm]
    pupil_ratio_uncertainty : number
        Relative standard uncertainty of exit over entrance pupil; assumed 0.05.
    measured : Sequence of MeasuredMagnification
        Photographs of a ruler taken with this lens at its infinity stop, each with its magnification.
    """

    subject_depth_mm: Required[float]
    method: StackMethod
    overlap: float | None
    ring_moves: RingMoves
    rail_step_um: float
    clearance_mm: float | None
    settle_s: float
    exposure_time_s: float
    flash_recycle_s: float


class MeasuredLensFields(TypedDict, total=False):
    """What was measured of one lens beside its frames; one frame alone needs `focal_length_mm`.

    Members
    -------
    focal_length_mm : number or None
        Focal length, known beforehand; one frame alone needs it, more frames find it. [mm]
    focal_length_uncertainty_mm : number
        Standard uncertainty of the focal length; if not given, it is taken as exact. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    entrance_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the entrance pupil's diameter. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear. [mm]
    exit_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the exit pupil's diameter. [mm]
    reference_f_number : number
        An f-number of this lens that is known, to compare an unknown one with by its light at equal magnification.
    reference_light_loss_stops : number
        Stops by which the unknown f-number gives less light than the known one at equal magnification. [stops]
    reference_light_loss_uncertainty_stops : number
        Standard uncertainty of those stops. [stops]
    """

    focal_length_mm: float | None
    focal_length_uncertainty_mm: float
    entrance_pupil_diameter_mm: float | None
    entrance_pupil_diameter_uncertainty_mm: float
    exit_pupil_diameter_mm: float
    exit_pupil_diameter_uncertainty_mm: float
    reference_f_number: float
    reference_light_loss_stops: float
    reference_light_loss_uncertainty_stops: float


class CalibrationFrame(TypedDict, total=False):
    """One frame of a ruler: how far the lens was extended, and what was read.

    Members
    -------
    extension_mm : number or None
        Rings, tubes, bellows and adapters between lens and camera; assumed 0 beside focusing. [mm]
    focusing_extension_mm : number
        How far the focus ring has carried glass and rim out from the infinity stop. [mm]
    magnification : number, needed
        Size on the sensor over size of the subject.
    magnification_uncertainty : number or None
        Standard uncertainty of the magnification, as from /v1/scale-reading.
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    working_distance_uncertainty_mm : number
        Standard uncertainty of the working distance. [mm]
    subject_to_sensor_mm : number or None
        Subject to sensor. [mm]
    subject_to_sensor_uncertainty_mm : number
        Standard uncertainty of the distance from subject to sensor. [mm]
    """

    extension_mm: float | None
    focusing_extension_mm: float
    magnification: Required[float]
    magnification_uncertainty: float | None
    working_distance_mm: float | None
    working_distance_uncertainty_mm: float
    subject_to_sensor_mm: float | None
    subject_to_sensor_uncertainty_mm: float


class ZoomSetting(MeasuredLensFields, total=False):
    """One setting of a zoom: a lens of its own.

    Members
    -------
    frames : Sequence of CalibrationFrame, needed
        Frames of a ruler at different extensions; three or more tell their own scatter.
    focal_length_mm : number or None
        Focal length, known beforehand; one frame alone needs it, more frames find it. [mm]
    focal_length_uncertainty_mm : number
        Standard uncertainty of the focal length; if not given, it is taken as exact. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    entrance_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the entrance pupil's diameter. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear. [mm]
    exit_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the exit pupil's diameter. [mm]
    reference_f_number : number
        An f-number of this lens that is known, to compare an unknown one with by its light at equal magnification.
    reference_light_loss_stops : number
        Stops by which the unknown f-number gives less light than the known one at equal magnification. [stops]
    reference_light_loss_uncertainty_stops : number
        Standard uncertainty of those stops. [stops]
    setting : number, needed
        Setting of a zoom as a number: the focal length marked, or any scale of its ring.
    """

    frames: Required[Sequence[CalibrationFrame]]
    setting: Required[float]


class MeasuredFrames(MountingFields, MeasuredLensFields, total=False):
    """Frames of one lens, or of a zoom at several settings.

    Members
    -------
    mounting : 'normal' | 'reversed'
        Which way round the lens stands; assumed normal.
    frames : Sequence of CalibrationFrame
        Frames of a ruler at different extensions; three or more tell their own scatter.
    focal_length_mm : number or None
        Focal length, known beforehand; one frame alone needs it, more frames find it. [mm]
    focal_length_uncertainty_mm : number
        Standard uncertainty of the focal length; if not given, it is taken as exact. [mm]
    entrance_pupil_diameter_mm : number or None
        Diameter of the aperture as seen from far off through the lens's front. [mm]
    entrance_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the entrance pupil's diameter. [mm]
    exit_pupil_diameter_mm : number
        Diameter of the aperture as seen from far off through the lens's rear. [mm]
    exit_pupil_diameter_uncertainty_mm : number
        Standard uncertainty of the exit pupil's diameter. [mm]
    reference_f_number : number
        An f-number of this lens that is known, to compare an unknown one with by its light at equal magnification.
    reference_light_loss_stops : number
        Stops by which the unknown f-number gives less light than the known one at equal magnification. [stops]
    reference_light_loss_uncertainty_stops : number
        Standard uncertainty of those stops. [stops]
    camera_register_mm : number
        Register of the camera: mount flange to sensor. [mm]
    lens_register_mm : number
        Register of the mount that the lens was made for; held against the frames, with the play of the infinity stop as
        its standard uncertainty. [mm]
    infinity_stop_play_mm : number
        Standard uncertainty of where the infinity stop puts the lens, against its register; assumed 0.2 mm. [mm]
    error_model : 'constant' | 'relative'
        Where no uncertainties are given: whether all magnifications err alike, or in proportion to their size. Assumed
        constant.
    least_extension_mm : number
        Least extension that further frames can have; assumed the least of the present ones. [mm]
    greatest_extension_mm : number
        Greatest extension that further frames can have; assumed the greatest of the present ones. [mm]
    settings : Sequence of ZoomSetting
        Settings of a zoom, instead of frames.
    interpolate_at : number
        Setting within those measured whose lens is wanted.
    """

    frames: Sequence[CalibrationFrame]
    camera_register_mm: float
    lens_register_mm: float
    infinity_stop_play_mm: float
    error_model: ErrorModel
    least_extension_mm: float
    greatest_extension_mm: float
    settings: Sequence[ZoomSetting]
    interpolate_at: float


class ChartFields(TypedDict, total=False):
    """How it is drawn; it changes no number.

    Members
    -------
    width_px : whole number
        Width of the drawing; text keeps its size. Assumed 360, which a telephone shows without loss. [px]
    """

    width_px: int
