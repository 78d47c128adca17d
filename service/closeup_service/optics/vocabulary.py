"""The vocabulary: one name per quantity, with its unit, bounds and meaning; everything that names a quantity reads it.

Lengths are in mm, wavelengths in nm, blur and pixels in um, powers in dioptres; the unit ends the name and pure ratios
have none. Bounds are inclusive at both ends; quantities that only come out have none.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    """One quantity: name, unit ("" for a ratio), inclusive bounds of its input, meaning in one line, label for people."""

    name: str
    unit: str
    minimum: float | None
    maximum: float | None
    meaning: str
    label: str


def _given(name: str, unit: str, minimum: float, maximum: float, meaning: str, label: str) -> Quantity:
    return Quantity(name, unit, minimum, maximum, meaning, label)


def _computed(name: str, unit: str, meaning: str, label: str) -> Quantity:
    return Quantity(name, unit, None, None, meaning, label)


_LENGTH = (0.0, 2000.0)
_PLANE = (-2000.0, 2000.0)

_QUANTITIES = (
    _given("magnification", "", 1e-4, 1000.0, "Size on the sensor over size of the subject.", "magnification"),
    _given("focal_length_mm", "mm", 0.5, 5000.0, "Focal length at the focus setting in use.", "focal length"),
    _given("f_number", "", 0.5, 256.0, "f-number as marked and set on the lens.", "marked f-number"),
    _computed("effective_f_number", "", "f-number that the sensor really sees, 1/(2 sin u').", "effective f-number"),
    _given(
        "pupil_magnification",
        "",
        0.02,
        50.0,
        "Exit pupil over entrance pupil diameter, of the lens mounted normally.",
        "pupil magnification (pupil ratio, exit / entrance)",
    ),
    _given(
        "extension_mm",
        "mm",
        *_LENGTH,
        "Rings, tubes and bellows between the parts; not the lens's own focusing.",
        "extension",
    ),
    _given(
        "focusing_extension_mm",
        "mm",
        0.0,
        500.0,
        "How far the focus ring has carried glass and rim out from the infinity stop.",
        "focusing extension",
    ),
    _given(
        "camera_register_mm",
        "mm",
        0.0,
        1000.0,
        "Register of the camera: mount flange to sensor.",
        "camera register (flange focal distance)",
    ),
    _given(
        "lens_register_mm",
        "mm",
        0.0,
        1000.0,
        "Register of the mount that the lens was made for.",
        "lens register (flange focal distance)",
    ),
    _given(
        "register_mm",
        "mm",
        0.0,
        1000.0,
        "Register: mount flange to sensor, of the camera or of the mount that the part was made for.",
        "register (flange focal distance)",
    ),
    _given(
        "front_principal_plane_mm",
        "mm",
        *_PLANE,
        "Front joining face to front principal plane, positive inwards.",
        "front principal plane",
    ),
    _given(
        "rear_principal_plane_mm",
        "mm",
        *_PLANE,
        "Rear joining face to rear principal plane, positive towards the camera.",
        "rear principal plane",
    ),
    _given(
        "principal_plane_separation_mm",
        "mm",
        *_PLANE,
        "Front to rear principal plane, signed; negative when they are crossed. For total lengths only.",
        "principal-plane separation (hiatus)",
    ),
    _given(
        "working_distance_mm",
        "mm",
        0.001,
        1e6,
        "Front joining face of the set-up to the subject.",
        "working distance",
    ),
    _computed("clearance_mm", "mm", "What is left between the subject and what stands out in front.", "clearance"),
    _computed("subject_distance_mm", "mm", "Subject to the first principal plane.", "subject distance"),
    _computed("subject_to_sensor_mm", "mm", "Subject to sensor.", "subject to sensor"),
    _computed("rig_length_mm", "mm", "Front joining face of the set-up to the sensor.", "rig length"),
    _given("subject_width_mm", "mm", 0.001, 1e6, "Width of the subject that fills the sensor.", "subject width"),
    _given(
        "subject_height_mm",
        "mm",
        0.001,
        1e6,
        "Height of the subject that fills the sensor.",
        "subject height",
    ),
    _given(
        "subject_depth_mm",
        "mm",
        0.0,
        1e4,
        "How far the subject stands out towards the lens.",
        "subject depth",
    ),
    _given("sensor_width_mm", "mm", 0.1, 1000.0, "Used width of the sensor.", "sensor width"),
    _given("sensor_height_mm", "mm", 0.1, 1000.0, "Used height of the sensor.", "sensor height"),
    _given("pixel_pitch_um", "um", 0.1, 1000.0, "Centre to centre of the sensor's pixels.", "pixel pitch"),
    _given(
        "circle_of_confusion_mm",
        "mm",
        1e-4,
        10.0,
        "Blur accepted on the sensor, as a diameter.",
        "circle of confusion (blur criterion)",
    ),
    _computed("front_depth_mm", "mm", "Depth of field before the subject plane, towards the lens.", "depth in front"),
    _computed("rear_depth_mm", "mm", "Depth of field behind the subject plane.", "depth behind"),
    _computed("total_mm", "mm", "Depth of field in all.", "depth in all"),
    _computed("depth_of_focus_mm", "mm", "How far the sensor may move in all, either way.", "depth of focus"),
    _computed(
        "light_loss_stops",
        "stops",
        "Light lost against the marked f-number; negative is a gain.",
        "light loss",
    ),
    _computed(
        "exposure_factor",
        "",
        "Factor on the exposure time against the marked f-number.",
        "exposure factor (bellows factor)",
    ),
    _given("numerical_aperture", "", 0.001, 0.99, "Sine of the half angle of the light from the subject.", "NA"),
    _computed("airy_diameter_um", "um", "Diameter of the first dark ring on the sensor.", "Airy disk"),
    _computed(
        "subject_resolution_um",
        "um",
        "Least distance resolved on the subject by Rayleigh's criterion.",
        "resolution on the subject",
    ),
    _given("wavelength_nm", "nm", 200.0, 2000.0, "Wavelength of the light.", "wavelength"),
    _given("length_mm", "mm", *_LENGTH, "Length between the part's two joining faces.", "length"),
    _given("clear_diameter_mm", "mm", 0.1, 1000.0, "Inner diameter that light passes.", "clear diameter"),
    _given("front_diameter_mm", "mm", 0.1, 1000.0, "Outer diameter of the lens's front.", "front diameter"),
    _given(
        "front_protrusion_mm",
        "mm",
        0.0,
        1000.0,
        "What stands out beyond the joining face on the subject's side: rear glass, lever, hood, guard.",
        "front protrusion",
    ),
    _given(
        "image_circle_mm",
        "mm",
        0.1,
        2000.0,
        "Diameter of the sharp image at infinity focus.",
        "image circle",
    ),
    _given("power_dpt", "dpt", 0.1, 500.0, "Power in dioptres: 1000 over the focal length in mm.", "power"),
    _given("factor", "", 1.01, 10.0, "Factor of the converter on the focal length.", "converter factor"),
    _given(
        "added_length_mm",
        "mm",
        0.1,
        500.0,
        "Length the converter adds between lens and camera.",
        "added length",
    ),
    _given(
        "tube_lens_focal_length_mm",
        "mm",
        1.0,
        2000.0,
        "Tube lens that an infinity-corrected objective is rated for.",
        "rated tube lens",
    ),
    _given(
        "tube_length_mm",
        "mm",
        20.0,
        1000.0,
        "Mechanical tube length engraved on a finite-conjugate objective.",
        "tube length",
    ),
    _given(
        "parfocal_distance_mm",
        "mm",
        1.0,
        500.0,
        "Subject to the objective's shoulder when sharp.",
        "parfocal distance",
    ),
    _given("field_number_mm", "mm", 0.1, 200.0, "Diameter of the objective's image field.", "field number"),
)

VOCABULARY = {quantity.name: quantity for quantity in _QUANTITIES}
