"""Quantities of the same picture on a sensor of another size."""

from closeup_service.optics.quantities import Row

# fmt: off
ROWS: tuple[Row, ...] = (
    ("other_sensor_width_mm", "mm", 0.1, 1000.0, "width of the other sensor",
     "Used width of the other sensor."),
    ("other_sensor_height_mm", "mm", 0.1, 1000.0, "height of the other sensor",
     "Used height of the other sensor."),
    ("other_focal_length_mm", "mm", 0.5, 5000.0, "focal length on the other camera",
     "Focal length of another lens on the other camera; assumed the same lens."),
    ("other_pupil_magnification", "", 0.02, 50.0, "pupil magnification on the other camera",
     "Pupil magnification of another lens on the other camera, mounted normally; assumed the same."),
    ("other_camera_register_mm", "mm", 0.0, 1000.0, "register of the other camera",
     "Register of the other camera: mount flange to sensor."),
    ("other_lens_register_mm", "mm", 0.0, 1000.0, "register of the other lens",
     "Register of the mount that another lens on the other camera was made for."),
    ("other_front_principal_plane_mm", "mm", -2000.0, 2000.0, "front principal plane of the other lens",
     "Front joining face to front principal plane of another lens on the other camera, positive inwards."),
    ("other_focusing_extension_mm", "mm", 0.0, 500.0, "focusing extension on the other camera",
     "How far the focus ring is carried out from the infinity stop on the other camera; assumed not at all."),
    ("format_ratio", "", None, None, "other sensor over this one (format ratio)",
     "Size of the other sensor over this one's, by the measure that the framing keeps."),
    ("other_magnification", "", None, None, "magnification on the other sensor",
     "Magnification that gives the same framing on the other sensor."),
    ("other_effective_f_number", "", None, None, "effective f-number on the other sensor",
     "Effective f-number that gives the same depth on the other sensor."),
    ("other_f_number", "", None, None, "marked f-number on the other camera",
     "f-number to set on the other camera's lens, as marked."),
    ("other_nominal_f_number", "", None, None, "nearest mark on the other camera",
     "Nearest engraved f-number in thirds of a stop; null where no ring has one."),
    ("other_extension_mm", "mm", None, None, "extension on the other camera",
     "Extension that gives the magnification on the other camera."),
    ("other_circle_of_confusion_mm", "mm", None, None, "circle of confusion on the other sensor",
     "Blur that looks the same in the finished picture, as a diameter on the other sensor."),
    ("other_exposure_factor", "", None, None, "exposure factor of the other sensor",
     "Factor on the exposure time or on the ISO speed for the same brightness on the other sensor."),
    ("other_exposure_stops", "stops", None, None, "more light for the other sensor",
     "Exposure that the other sensor needs more for the same brightness; negative is less."),
    ("same_perspective_focal_length_mm", "mm", None, None, "focal length for the same perspective",
     "Focal length on the other camera that sees the subject from the same distance."),
)
# fmt: on
