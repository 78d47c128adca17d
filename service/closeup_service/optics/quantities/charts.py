"""Quantities of drawings and charts."""

from closeup_service.optics.quantities import Row

# fmt: off
ROWS: tuple[Row, ...] = (
    ("width_px", "px", 320.0, 1600.0, "width of the drawing",
     "Width of the drawing; text keeps its size. Assumed 360, which a telephone shows without loss."),
    ("points", "", 2.0, 200.0, "points of the curve",
     "How many values the curve is worked out for; assumed 25."),
    ("sharp_from_mm", "mm", None, None, "sharp from",
     "Where the sharp depth of a frame begins, from the subject's nearest point away from the lens."),
    ("sharp_to_mm", "mm", None, None, "sharp to",
     "Where the sharp depth of a frame ends, from the subject's nearest point away from the lens."),
    ("overlap_with_next", "", None, None, "overlap with the next",
     "Share of the depth between this frame and the next that both are sharp over."),
    ("fitted_magnification", "", None, None, "fitted magnification",
     "Magnification that the fitted lens has at this extension."),
)
# fmt: on
