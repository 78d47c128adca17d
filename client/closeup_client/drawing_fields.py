"""What drawings and the sheet of a set-up can be asked with: the set-up document, and how it is to be drawn."""

from typing import Required

from closeup_client.fields import WholeSetUp


class DrawingFields(WholeSetUp, total=False):
    """The set-up document, and the width of the drawing in px."""

    width_px: int


class FrameDrawingFields(WholeSetUp, total=False):
    """The set-up document, the subject's own width and height in mm, and the width of the drawing in px."""

    subject_width_mm: Required[float]
    subject_height_mm: float
    width_px: int


class SheetFields(WholeSetUp, total=False):
    """The set-up document, and what stands above the sheet."""

    heading: str
