"""The texts and the documentation in a real browser: on every screen, on paper, by keyboard, without JavaScript."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

TEXTS = (
    "/lesson",
    "/lesson/answers",
    "/physics",
    "/privacy",
    "/cautions",
    "/catalogue",
    "/reading/enlarger-lenses",
    "/reading/lenses-without-aperture-ring",
    "/reading/protecting-a-reversed-lens",
    "/reading/lenses-known-by-their-engravings",
    "/de/lesson",
    "/de/lesson/answers",
    "/de/physics",
    "/de/privacy",
    "/de/cautions",
    "/de/catalogue",
    "/de/running",
    "/de/reading/enlarger-lenses",
    "/de/reading/lenses-without-aperture-ring",
    "/de/reading/protecting-a-reversed-lens",
    "/de/reading/lenses-known-by-their-engravings",
    "/docs/findMagnification",
    "/docs/findExposure",
    "/docs/evaluateSetUp",
    "/docs/listKit",
)
A4_POINTS = (595, 842)


@pytest.mark.parametrize("address", TEXTS)
@pytest.mark.parametrize("width", [320, 1440])
def test_a_page_fits_every_screen(service_url: str, open_page: Callable[..., Page], address: str, width: int) -> None:
    page = open_page(service_url + address, viewport={"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("address", ["/lesson", "/lesson/answers", "/de/lesson", "/de/lesson/answers"])
def test_the_lesson_prints_on_a4_two_sheets_and_nothing_but_itself(
    service_url: str, open_page: Callable[..., Page], address: str
) -> None:
    page = open_page(service_url + address)
    printed = page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
    assert len(boxes) == 4
    assert {(round(float(width)), round(float(height))) for width, height in boxes} == {A4_POINTS}
    page.emulate_media(media="print")
    for hidden in ("footer", "nav", ".skip", ".no-print"):
        assert not page.locator(hidden).first.is_visible()
    assert page.locator("h1").is_visible()
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"


def test_the_lesson_prints_black_on_white_from_a_dark_screen(service_url: str, open_page: Callable[..., Page]) -> None:
    page = open_page(f"{service_url}/lesson", color_scheme="dark")
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


def test_an_operation_is_tried_without_javascript(service_url: str, open_page: Callable[..., Page]) -> None:
    page = open_page(f"{service_url}/docs/findMagnification", java_script_enabled=False)
    page.get_by_label("subject_width_mm").fill("11.75")
    page.get_by_role("button", name="Ask").click()
    page.wait_for_url(f"{service_url}/v1/magnification?*")
    assert page.url == f"{service_url}/v1/magnification?sensor=23.5x15.6&subject_width_mm=11.75"
    expect(page.locator("body")).to_contain_text('"magnification":2.0')  # 23.5 mm over 11.75 mm, by definition


def test_the_keyboard_comes_first_to_the_way_past_everything(service_url: str, open_page: Callable[..., Page]) -> None:
    page = open_page(f"{service_url}/reading/enlarger-lenses")
    page.keyboard.press("Tab")
    way = page.locator(".skip")
    expect(way).to_be_focused()
    box = way.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
