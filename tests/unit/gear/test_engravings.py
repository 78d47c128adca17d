"""What a kit says of a lens beside its setting."""

from typing import Any

import pytest

from closeup_service.gear.engravings import engravings
from closeup_service.gear.kit import BarrelData
from closeup_service.schemas.fields import declared_fields
from closeup_service.schemas.kit import read_kit
from closeup_service.schemas.known_lens import KnownLensFields
from old_lenses import kit, lens


def engraved(made: dict[str, Any]) -> dict[str, object]:
    """Of the first setting of the only lens."""
    [read] = read_kit(kit(made), "request").lenses
    return engravings(read, read.settings[0])


def zoom(*lengths: float, **more: Any) -> dict[str, Any]:
    made = lens("zoom", 28)
    del made["focal_length_mm"]
    settings = [{"id": f"at-{length:.0f}", "focal_length_mm": length, **more} for length in lengths]
    return {**made, "settings": settings}


def test_the_widest_mark_is_that_of_the_ring_unless_stated() -> None:
    assert engraved(lens("old", 28)) == {"widest_f_number": 2.8}
    assert engraved(lens("old", 28, widest_f_number=2.0)) == {}


@pytest.mark.parametrize("lengths", [(28.0, 70.0), (70.0, 35.0, 28.0), (28.0, 42.0)])
def test_settings_far_apart_show_the_ends_of_a_zoom(lengths: tuple[float, ...]) -> None:
    found = engraved(zoom(*lengths))
    assert (found["zoom_from_mm"], found["zoom_to_mm"]) == (min(lengths), max(lengths))


@pytest.mark.parametrize("lengths", [(100.0,), (100.0, 71.0), (51.6, 50.3)])
def test_calibrations_of_one_prime_lens_show_none(lengths: tuple[float, ...]) -> None:
    assert "zoom_from_mm" not in engraved(zoom(*lengths))


def test_ends_that_are_stated_stay() -> None:
    assert "zoom_from_mm" not in engraved(zoom(28, 70, zoom_from_mm=24, zoom_to_mm=105))


def test_a_lens_by_its_rear_thread_has_no_mount_of_its_own() -> None:
    enlarger = {name: value for name, value in lens("enlarger", 75).items() if name != "mount"}
    enlarger["rear_thread"] = "M39x26tpi"
    assert engraved(enlarger)["lens_class"] == "view-enlarging"
    assert "lens_class" not in engraved({**enlarger, "register_mm": 45.46})
    assert "lens_class" not in engraved({**enlarger, "lens_class": "macro"})


def test_a_setting_holds_every_member_that_counts_for_estimates() -> None:
    assert set(BarrelData.__struct_fields__) == set(declared_fields(KnownLensFields))
