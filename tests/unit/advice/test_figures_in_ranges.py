"""Figures within ranges: digits that tell the ends apart, in the way that people say the quantity."""

import pytest

from closeup_service.advice.figures import figure_in_range


@pytest.mark.parametrize(
    ("figures", "name", "unit", "about", "between"),
    [
        ((2.1211, 1.7243, 2.4836), "magnification", "", "about 2.1:1", "between 1.7:1 and 2.5:1"),
        ((2.12, 2.041, 2.194), "magnification", "", "about 2.12:1", "between 2.04:1 and 2.19:1"),
        ((0.5, 0.4, 0.8), "magnification", "", "about 1:2", "between 1:2.5 and 1:1.2"),
        ((0.9, 0.35, 1.38), "magnification", "", "about 1:1.1", "between 1:2.9 and 1.4:1"),
        ((58.81, 56.77, 61.9), "working_distance_mm", "mm", "about 59 mm", "between 57 and 62 mm"),
        ((-2.2, -60.6, 88.9), "front_principal_plane_mm", "mm", "about −2.2 mm", "between −61 and 89 mm"),
        ((21.44, 17.8, 24.26), "effective_f_number", "", "about f/21", "between f/18 and f/24"),
        ((2.845, 2.308, 3.2), "light_loss_stops", "stops", "about 3 stops", "between 2 1/3 and 3 1/3 stops"),
        ((2.02, 1.98, 2.06), "light_loss_stops", "stops", "about 2.02 stops", "between 1.98 and 2.06 stops"),
        ((1 / 30, 1 / 60, 1 / 15), "exposure_time_s", "s", "about 1/30 s", "between 1/60 and 1/15 s"),
        ((0.25, 0.1, 0.4), "end_contrast", "", "about 25 %", "between 10 and 40 %"),
        ((3, 2, 4), "stack_frames", "", "about 3", "between 2 and 4"),
        ((0.0, -1.0, 1.0), "front_principal_plane_mm", "mm", "about 0 mm", "between −1 and 1 mm"),
        ((50.0, 49.9999999, 50.0000001), "focal_length_mm", "mm", "50 mm", ""),
    ],
)
def test_figures_are_said_with_their_ranges(
    figures: tuple[float, float, float], name: str, unit: str, about: str, between: str
) -> None:
    told = figure_in_range(*figures, name, unit)
    assert (told.about, told.between) == (about, between)
