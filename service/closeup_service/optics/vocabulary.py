"""The vocabulary: one name per quantity, with its unit, bounds and meaning; everything that names a quantity reads it.

Lengths are in mm, wavelengths in nm, blur and pixels in um, powers in dioptres, times in s, speeds in mm/s, rotation in
rad/s, frequencies in Hz; the unit ends the name and pure ratios have none. Bounds are inclusive at both ends; quantities that
only come out have none.
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
    _given(
        "clearance_mm",
        "mm",
        0.0,
        1e6,
        "What is left between the subject and what stands out in front.",
        "clearance",
    ),
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
    _given("print_width_mm", "mm", 10.0, 20000.0, "Width of the finished print of the whole frame.", "print width"),
    _given("viewing_distance_mm", "mm", 50.0, 50000.0, "Eye to print; assumed the print's width.", "viewing distance"),
    _given("acuity_arcmin", "arcmin", 0.2, 10.0, "Angle of the least blur that the viewer notices.", "acuity"),
    _given(
        "sensor_detail_lp_per_mm",
        "lp/mm",
        0.01,
        5000.0,
        "Fineness of the detail, in line pairs per mm on the sensor.",
        "detail on the sensor",
    ),
    _given(
        "subject_detail_lp_per_mm",
        "lp/mm",
        0.001,
        10000.0,
        "Fineness of the detail, in line pairs per mm on the subject.",
        "detail on the subject",
    ),
    _given("contrast", "", 0.01, 0.99, "Contrast asked of the detail, 1 being that of the subject.", "contrast"),
    _given("pixel_fill", "", 0.1, 1.0, "Share of the pixel pitch that is sensitive, linear.", "pixel fill"),
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
    _computed(
        "sensor_resolution_um",
        "um",
        "Least distance resolved on the sensor by Rayleigh's criterion.",
        "resolution on the sensor",
    ),
    _computed(
        "sensor_cutoff_lp_per_mm",
        "lp/mm",
        "Detail on the sensor beyond which nothing is left.",
        "cut-off on the sensor",
    ),
    _computed(
        "subject_cutoff_lp_per_mm",
        "lp/mm",
        "Detail on the subject beyond which nothing is left.",
        "cut-off on the subject",
    ),
    _computed(
        "nyquist_lp_per_mm",
        "lp/mm",
        "Finest detail that the pixels can carry.",
        "finest detail of the pixels (Nyquist)",
    ),
    _computed("nyquist_contrast", "", "Contrast that diffraction leaves of that detail.", "contrast at that detail"),
    _computed(
        "subject_airy_diameter_um", "um", "Diameter of the first dark ring, on the subject.", "Airy disk on the subject"
    ),
    _computed(
        "filled_share", "", "Share of the sensor's pixels that the image really fills.", "share of pixels filled"
    ),
    _computed("filled_megapixels", "", "Pixels that the image really fills, in millions.", "megapixels filled"),
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
    _given(
        "sideways_speed_mm_s",
        "mm/s",
        0.0,
        1e6,
        "Speed of the subject across the axis, against the camera.",
        "sideways speed",
    ),
    _given(
        "axial_speed_mm_s",
        "mm/s",
        0.0,
        1e6,
        "Speed of the subject along the axis, against the camera.",
        "axial speed",
    ),
    _given("rotation_rad_s", "rad/s", 0.0, 1000.0, "Speed at which the camera turns or tilts.", "rotation"),
    _given(
        "rotation_distance_mm",
        "mm",
        -1e4,
        1e4,
        "Entrance pupil to the point that the camera turns about, positive away from the subject.",
        "pivot distance",
    ),
    _given(
        "vibration_amplitude_um",
        "um",
        0.0,
        1e5,
        "Amplitude across the axis, on the subject's side: half the stroke from end to end.",
        "vibration amplitude",
    ),
    _given("vibration_frequency_hz", "Hz", 0.001, 1e6, "Frequency of the vibration.", "vibration frequency"),
    _given(
        "exposure_time_s",
        "s",
        1e-7,
        86400.0,
        "How long the shutter is open.",
        "exposure time (shutter speed)",
    ),
    _given(
        "flash_t01_s",
        "s",
        1e-9,
        10.0,
        "Time for which the flash is above a tenth of its peak.",
        "flash duration t0.1",
    ),
    _given(
        "flash_t05_s",
        "s",
        1e-9,
        10.0,
        "Time for which the flash is above half of its peak.",
        "flash duration t0.5",
    ),
    _given(
        "ambient_share",
        "",
        0.0,
        1.0,
        "Share of the picture's light that falls through the whole exposure time, not from the flash.",
        "ambient share",
    ),
    _computed("flash_share", "", "Share of the picture's light that comes from the flash.", "flash share"),
    _given("depth_mm", "mm", 1e-6, 1e6, "Depth of field in all that the movement is held against.", "depth"),
    _given("allowed_blur_um", "um", 0.001, 1e5, "Blur by movement that is allowed on the sensor.", "allowed blur"),
    _given(
        "allowed_blur_pixels",
        "pixels",
        0.001,
        1e4,
        "Blur by movement that is allowed on the sensor, in pixels.",
        "allowed blur in pixels",
    ),
    _computed("blur_time_s", "s", "Time that counts for the blur: the shutter's, or the flash's t0.1.", "blur time"),
    _computed("sensor_blur_um", "um", "Blur on the sensor by all motions together.", "blur on the sensor"),
    _computed("subject_blur_um", "um", "The same blur, measured on the subject.", "blur on the subject"),
    _computed("sensor_blur_pixels", "pixels", "The same blur, in pixels of the sensor.", "blur in pixels"),
    _computed("sideways_blur_um", "um", "Blur on the sensor by sideways movement.", "blur by sideways movement"),
    _computed("rotation_blur_um", "um", "Blur on the sensor by rotation of the camera.", "blur by rotation"),
    _computed("vibration_blur_um", "um", "Greatest blur on the sensor by vibration.", "blur by vibration"),
    _computed(
        "ambient_blur_um",
        "um",
        "Blur on the sensor by light that falls through the whole exposure time: the ghost beside a flash.",
        "ambient blur (ghost)",
    ),
    _computed("axial_movement_um", "um", "Movement along the axis while light falls.", "axial movement"),
    _computed("longest_time_s", "s", "Longest time within the allowed blur.", "longest time"),
    _computed(
        "longest_axial_time_s", "s", "Longest time in which axial movement stays in depth.", "longest axial time"
    ),
    _computed(
        "largest_sideways_speed_mm_s",
        "mm/s",
        "Largest sideways speed within the allowed blur.",
        "largest sideways speed",
    ),
    _computed("largest_axial_speed_mm_s", "mm/s", "Largest axial speed within the depth.", "largest axial speed"),
    _computed("largest_rotation_rad_s", "rad/s", "Largest rotation within the allowed blur.", "largest rotation"),
    _computed("largest_amplitude_um", "um", "Largest amplitude within the allowed blur.", "largest amplitude"),
    _given(
        "overlap",
        "",
        0.0,
        0.9,
        "Share of the depth between two neighbouring frames of a stack that both are sharp over.",
        "overlap",
    ),
    _given("rail_step_um", "um", 0.001, 1e5, "Least step of the rail; moves are whole steps.", "rail's least step"),
    _given("settle_s", "s", 0.0, 3600.0, "Wait after each move until nothing trembles.", "settling time"),
    _given("flash_recycle_s", "s", 0.0, 3600.0, "Wait until the flash is charged again.", "flash recycling time"),
    _computed("frames", "", "Frames that cover the subject's depth without a gap.", "frames"),
    _computed(
        "frames_end_to_end",
        "",
        "Frames with a plane of focus on both ends of the subject's depth, by the same rule.",
        "frames end to end",
    ),
    _computed(
        "frames_varying_step",
        "",
        "Frames that cover the subject's depth if each step were as long as the depth there allows.",
        "frames with steps that follow the depth",
    ),
    _computed("step_mm", "mm", "Step between frames, of what is moved.", "step"),
    _computed("travel_mm", "mm", "Travel from the first frame to the last, of what is moved.", "travel"),
    _computed(
        "positions_mm",
        "mm",
        "Planes of focus, from the nearest point of the subject away from the lens.",
        "planes of focus",
    ),
    _computed(
        "magnification_nearest", "", "Magnification focused on the nearest plane.", "magnification, nearest plane"
    ),
    _computed(
        "magnification_farthest", "", "Magnification focused on the farthest plane.", "magnification, farthest plane"
    ),
    _computed(
        "magnification_change",
        "",
        "Magnification focused on the farthest plane over that on the nearest, less 1.",
        "change of magnification",
    ),
    _computed(
        "image_travel_mm",
        "mm",
        "How far the image moves along the axis, against the lens, from the subject's nearest to its farthest plane.",
        "travel of the image",
    ),
    _computed(
        "perspective_change",
        "",
        "Growth of detail in the farthest plane from the frame focused on the nearest plane to that on the farthest, by the "
        "entrance pupil's movement alone.",
        "change of perspective",
    ),
    _computed(
        "least_clearance_mm",
        "mm",
        "What is left before the subject's nearest point in the frame in which the lens is nearest to it.",
        "least clearance",
    ),
    _computed("total_time_s", "s", "Time that the whole stack takes.", "time in all"),
)

VOCABULARY = {quantity.name: quantity for quantity in _QUANTITIES}
