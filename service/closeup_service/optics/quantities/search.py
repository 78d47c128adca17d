"""Quantities of a kit and of the search through it: what parts measure and cost, what is wished for, the score."""

from closeup_service.optics.quantities import Row

# fmt: off
ROWS: tuple[Row, ...] = (
    ("measured_edge_width_um", "um", 0.01, 10000.0, "measured edge width",
     "Width of a sharp edge's image, measured on the sensor."),
    ("mass_g", "g", 0.0, 1000000.0, "mass",
     "Mass of the part."),
    ("least_working_distance_mm", "mm", 0.0, 1000000.0, "least working distance wished for",
     "Least distance from the front joining face to the subject that will do."),
    ("largest_subject_resolution_um", "um", 0.01, 100000.0, "largest resolved distance on the subject",
     "Largest distance resolved on the subject, by Rayleigh's criterion, that will do."),
    ("largest_light_loss_stops", "stops", -20.0, 40.0, "largest light loss",
     "Largest light loss against the marked f-number that will do."),
    ("longest_rig_mm", "mm", 1.0, 100000.0, "longest rig",
     "Longest rig, from the front joining face to the sensor, that will do."),
    ("tolerance", "", 0.001, 0.5, "tolerance",
     "Share by which the frame may be wider or narrower than the subject; assumed 0.05."),
    ("budget", "", 0.0, 1000000000.0, "budget",
     "What one part may cost that is bought, in the currency of the kit."),
    ("price", "", None, None, "price",
     "Price in the currency of the kit."),
    ("score", "", None, None, "score",
     "Sum of the criteria; less is better."),
)
# fmt: on
