"""What a kit says of a lens beside its setting, and what helps where its data are estimated."""

from closeup_service.estimates.families import VIEW_ENLARGING
from closeup_service.gear.kit import Lens, Setting

LEAST_ZOOM = 1.5
"""Settings whose focal lengths differ by this factor are of a zoom: no prime lens changes so much when it is focused (common
practice, no source)."""


def engravings(lens: Lens, setting: Setting) -> dict[str, object]:
    """Class of a lens without a mount, widest mark of the ring, and ends of a zoom, where the setting does not state them."""
    found: dict[str, object] = {}
    if setting.lens_class is None and lens.mount is None and setting.register_mm is None:
        found["lens_class"] = VIEW_ENLARGING.name
    if setting.widest_f_number is None and setting.marks:
        found["widest_f_number"] = setting.marks[0].nominal
    if setting.zoom_from_mm is None:
        found |= zoom_ends(lens)
    return found


def zoom_ends(lens: Lens) -> dict[str, float]:
    """Ends of a zoom, as its settings show them [mm]; none of a prime lens."""
    lengths = [setting.focal_length_mm for setting in lens.settings]
    if max(lengths) < LEAST_ZOOM * min(lengths):
        return {}
    return {"zoom_from_mm": min(lengths), "zoom_to_mm": max(lengths)}
