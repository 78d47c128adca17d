"""Quantities of focus stacks."""

from closeup_service.optics.quantities import Row

# fmt: off
ROWS: tuple[Row, ...] = (
    ("overlap", "", 0.0, 0.9, "overlap",
     "Share of the depth between two neighbouring frames of a stack that both are sharp over."),
    ("rail_step_um", "um", 0.001, 100000.0, "rail's least step",
     "Least step of the rail; moves are whole steps."),
    ("settle_s", "s", 0.0, 3600.0, "settling time",
     "Wait after each move until nothing trembles."),
    ("flash_recycle_s", "s", 0.0, 3600.0, "flash recycling time",
     "Wait until the flash is charged again."),
    ("frames", "", None, None, "frames",
     "Frames that cover the subject's depth without a gap."),
    ("frames_end_to_end", "", None, None, "frames end to end",
     "Frames with a plane of focus on both ends of the subject's depth, by the same rule."),
    ("frames_varying_step", "", None, None, "frames with steps that follow the depth",
     "Frames that cover the subject's depth if each step were as long as the depth there allows."),
    ("step_mm", "mm", None, None, "step",
     "Step between frames, of what is moved."),
    ("travel_mm", "mm", None, None, "travel",
     "Travel from the first frame to the last, of what is moved."),
    ("positions_mm", "mm", None, None, "planes of focus",
     "Planes of focus, from the nearest point of the subject away from the lens."),
    ("magnification_nearest", "", None, None, "magnification, nearest plane",
     "Magnification focused on the nearest plane."),
    ("magnification_farthest", "", None, None, "magnification, farthest plane",
     "Magnification focused on the farthest plane."),
    ("magnification_change", "", None, None, "change of magnification",
     "Magnification focused on the farthest plane over that on the nearest, less 1."),
    ("image_travel_mm", "mm", None, None, "travel of the image",
     "How far the image moves along the axis, against the lens, from the subject's nearest to its farthest plane."),
    ("perspective_change", "", None, None, "change of perspective",
     "Growth of detail in the farthest plane from the frame focused on the nearest plane to that on the farthest, by "
     "the entrance pupil's movement alone."),
    ("least_clearance_mm", "mm", None, None, "least clearance",
     "What is left before the subject's nearest point in the frame in which the lens is nearest to it."),
    ("total_time_s", "s", None, None, "time in all",
     "Time that the whole stack takes."),
    ("stack_step_mm", "mm", None, None, "step of a stack on a rail",
     "Step of a stack on a rail over the subject's depth."),
    ("stack_frames", "", None, None, "frames of a stack on a rail", "Frames of a stack on a rail over the subject's depth."),
)
# fmt: on
