"""How sharp: depth of field, diffraction, and the aperture that is best for the subject's depth."""

from closeup_service.pages.task import (
    Drawing,
    Example,
    Group,
    PageLead,
    Step,
    Table,
    Task,
    inputs,
)
from closeup_service.pages.tasks.common import SENSOR
from closeup_service.pages.tasks.known_lens import CAMERA_REGISTER, known_lens_group
from closeup_service.pages.tasks.sharpness_requests import (
    DEPTH,
    EQUIVALENCE,
    OPTIMUM,
    depth,
    diffraction,
    equivalence,
    optimum,
    stack,
    stack_address,
)

MARK_HINT = "As set on the lens. Leave it out to find the aperture for the depth of the subject."
DEPTH_HINT = "From its nearest to its farthest point."
NO_MARK = "Enter the marked f-number. Or enter the depth of the subject to find the aperture for it."


TASK = Task(
    slug="sharpness",
    stage="set up",
    title="How sharp",
    question="How deep is the sharp zone, and does diffraction spoil it?",
    lead="Enter the magnification and the aperture. Or enter the depth of the subject instead, and the aperture is found.",
    description=(
        "Work out the depth of field, what diffraction costs and which aperture is best for the depth of a small subject at a "
        "given magnification."
    ),
    groups=(
        Group(
            "Picture",
            inputs(
                DEPTH,
                *("magnification", "f_number", "sensor"),
                sensor=SENSOR,
                f_number={"optional": True, "own_hint": MARK_HINT, "own_missing": NO_MARK},
            )
            + inputs(OPTIMUM, "subject_depth_mm", subject_depth_mm={"optional": True, "own_hint": DEPTH_HINT}),
        ),
        Group(
            "Lens",
            inputs(DEPTH, "mounting", "pupil_magnification", "focal_length_mm", "lens_register_mm"),
            aside=True,
        ),
        known_lens_group(register=(CAMERA_REGISTER,)),
        Group(
            "What counts as sharp",
            inputs(
                DEPTH,
                *("model", "circle_of_confusion_mm", "pixel_pitch_um", "sensor_detail_lp_per_mm"),
                *("subject_detail_lp_per_mm", "contrast", "wavelength_nm"),
            ),
            aside=True,
        ),
        Group(
            "Print, and another size of sensor",
            inputs(
                DEPTH, "print_width_mm", "viewing_distance_mm", "acuity_arcmin", "sensor_width_mm", "sensor_height_mm"
            ),
            aside=True,
        ),
        Group(
            "The same picture on another sensor",
            inputs(
                EQUIVALENCE,
                *("other_sensor", "framing_by", "other_focal_length_mm", "other_pupil_magnification"),
                other_sensor=SENSOR,
            ),
            aside=True,
        ),
    ),
    steps=(
        Step(
            "findOptimumAperture",
            optimum,
            (
                "covering_f_number",
                "nominal_f_number",
                "f_number",
                "best/nominal_f_number",
                "best/end_contrast",
                "advice",
            ),
            (
                Table(
                    "curve",
                    "Contrast of the detail against aperture",
                    ("nominal_f_number", "effective_f_number", "middle_contrast", "end_contrast"),
                ),
            ),
            title="Best aperture for the subject's depth",
        ),
        Step(
            "findDepthOfField",
            depth,
            (
                "total_mm",
                "front_depth_mm",
                "rear_depth_mm",
                "depth_of_focus_mm",
                "effective_f_number",
                "circle_of_confusion_mm",
            ),
            title="Depth of field",
        ),
        Step(
            "findDiffraction",
            diffraction,
            (
                *("airy_diameter_um", "subject_resolution_um", "sensor_resolution_um", "sampling"),
                *("nyquist_contrast", "filled_share", "largest_useful_f_number"),
            ),
            title="Diffraction",
        ),
        Step(
            "findFormatEquivalence",
            equivalence,
            (
                *("other_magnification", "other_f_number", "other_nominal_f_number", "other_extension_mm"),
                *("same_perspective_focal_length_mm", "other_exposure_stops"),
            ),
            title="The same picture on the other sensor",
            needs="findDepthOfField",
        ),
    ),
    drawings=(
        Drawing(
            "chartFocusStack",
            stack,
            "A focus stack over the subject's depth, on a rail",
            ("frames", "step_mm"),
            (
                Table(
                    "rows",
                    "Frames of the stack, from the subject's nearest point",
                    ("position_mm", "sharp_from_mm", "sharp_to_mm", "overlap_with_next"),
                ),
            ),
        ),
    ),
    leads=(PageLead(stack_address, "Frames and step of a stack over this depth"),),
    first=("total_mm", "covering_f_number", "nominal_f_number", "subject_resolution_um"),
    examples=(
        Example(
            "A lichen at 1:1 and the marked f/8, sensor 23.5 × 15.6 mm",
            {"f_number": "f/8", "magnification": "1:1", "sensor": "23.5x15.6"},
        ),
        Example(
            "Which aperture for 1 mm of depth at 2:1, sensor 36 × 24 mm?",
            {"magnification": "2:1", "sensor": "36x24", "subject_depth_mm": "1 mm"},
        ),
        Example(
            "The same lichen by the same 60 mm lens on a sensor of 36 × 24 mm",
            {
                "f_number": "f/8",
                "magnification": "1:1",
                "sensor": "23.5x15.6",
                "focal_length_mm": "60 mm",
                "pupil_magnification": "0.8",
                "other_sensor": "36x24",
            },
        ),
        Example(
            "A seed 1 mm deep at 2:1, reversed lens, pixels of 3.9 µm",
            {
                "f_number": "f/5,6",
                "magnification": "2:1",
                "sensor": "23.5x15.6",
                "subject_depth_mm": "1 mm",
                "mounting": "reversed",
                "pupil_magnification": "1.3",
                "pixel_pitch_um": "3.9 µm",
                "subject_detail_lp_per_mm": "40",
            },
        ),
    ),
)
