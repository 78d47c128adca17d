"""Which family a lens belongs to, by the register of its mount (common practice, no source)."""

import pytest

from closeup_service.estimates.families import FAMILIES, choose_family


@pytest.mark.parametrize(
    ("register", "zoom", "name"),
    [
        (None, False, "slr-prime"),
        (None, True, "slr-zoom"),
        (45.46, False, "slr-prime"),
        (44.0, True, "slr-zoom"),
        (18.0, False, "mirrorless-prime"),
        (-2.0, False, "mirrorless-prime"),
        (-2.0, True, "mirrorless-zoom"),
        (19.25, True, "mirrorless-zoom"),
        (27.8, False, "rangefinder"),
        (28.8, False, "rangefinder"),
        (74.0, False, "medium-slr"),
    ],
)
def test_the_register_tells_the_family(register: float | None, zoom: bool, name: str) -> None:
    assert choose_family(register, zoom=zoom).name == name


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.name)
def test_the_classes_of_a_family_share_all_the_weight_at_every_valid_focal_length(family) -> None:  # type: ignore[no-untyped-def]
    low, high = family.valid_mm
    for step in range(41):
        focal_length = low * (high / low) ** (step / 40)
        assert sum(weight for _, weight in family.branches(focal_length)) == pytest.approx(1)
