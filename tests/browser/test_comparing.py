"""Two results side by side in a real browser, by keyboard and without JavaScript too."""

from collections.abc import Callable
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Page, expect

from page_reading import DRAWN

Open = Callable[..., Page]
FILL = "/tasks/fill-the-frame?subject_width_mm=12&sensor=23.5x15.6"
BOTH = f"/compare?{urlencode({'a': DRAWN, 'b': DRAWN.replace('f_number=8', 'f_number=16')})}"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 768, 1440])
def test_the_comparison_fits_every_screen(service_url: str, open_page: Open, width: int, scheme: str) -> None:
    page = open_page(service_url + BOTH, viewport={"width": width, "height": 800}, color_scheme=scheme)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_on_a_phone_the_values_stand_below_each_other(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + BOTH, viewport={"width": 360, "height": 800})
    cells = page.locator("table.compared tr", has_text="Total depth of field").locator("td")
    tops = [box["y"] for box in (each.bounding_box() for each in cells.all()) if box is not None]
    assert len(tops) == 3
    assert tops == sorted(set(tops))
    assert "Second:" in cells.nth(1).inner_text()


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
def test_from_a_result_to_the_comparison(service_url: str, open_page: Open, script: bool) -> None:
    page = open_page(service_url + FILL, java_script_enabled=script)
    page.get_by_role("link", name="Compare with").click()
    page.get_by_label("Subject width").fill("24")
    page.get_by_label("Subject width").press("Enter")
    expect(page.get_by_role("row", name="Magnification")).to_contain_text("0.5 times as large")
    page.get_by_role("link", name="Swap").click()
    expect(page.get_by_role("row", name="Magnification")).to_contain_text("2 times as large")
