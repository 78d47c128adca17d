"""Pages in German in a real browser: what scripts add and lay over is German too, and the switch takes what was typed along."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from kit_pages import own_kit

Open = Callable[..., Page]
RESULT = "/tasks/fill-the-frame?subject_width_mm=12&sensor=23.5x15.6"
PLACES = ("/de", "")
"""By the address, or by what a German browser accepts."""
in_german = pytest.mark.parametrize("segment", PLACES, ids=["by the address", "by the browser"])


def german(open_page: Open, address: str) -> Page:
    page = open_page(address, locale="de-DE")
    assert page.evaluate("document.documentElement.lang") == "de"
    return page


@in_german
def test_a_result_that_follows_stays_german_and_so_does_what_leads_on(
    service_url: str, open_page: Open, segment: str
) -> None:
    page = german(open_page, f"{service_url}{segment}{RESULT}")
    page.locator("#subject_width_mm").fill("15,5")
    link = page.locator("a.again")
    expect(link).to_have_attribute("href", "/de/tasks/fill-the-frame?subject_width_mm=15%2C5&sensor=23.5x15.6")
    expect(page.locator("main[aria-busy]")).to_have_count(0)
    assert page.url == f"{service_url}{link.get_attribute('href')}"
    expect(page.locator("#result")).to_have_text("Ergebnis")
    expect(page.get_by_role("button", name="Drucken")).to_be_visible()
    page.locator("#subject_width_mm").fill("x")
    expect(page.locator(".follows a")).to_contain_text("Noch nicht berechnet")
    page.locator("#subject_width_mm").fill("15,5")
    expect(page.locator("main .result.stale")).to_have_count(0)
    page.locator(".languages a").click()
    assert page.url == f"{service_url}/en/tasks/fill-the-frame?subject_width_mm=15%2C5&sensor=23.5x15.6"
    assert page.locator("#subject_width_mm").input_value() == "15,5"
    expect(page.locator("#result")).to_have_text("Result")


@in_german
def test_a_slider_without_a_value_says_so_in_german(service_url: str, open_page: Open, segment: str) -> None:
    page = german(open_page, f"{service_url}{segment}/tasks/set-up?part1=typed_lens&part2=typed_spacer")
    slides = page.locator(".slide")
    assert slides.count() > 0
    told = {each.get_attribute("aria-valuetext") for each in slides.all()}
    assert told == {"keine Angabe"}


@in_german
def test_an_own_kit_is_offered_and_used_in_german(
    service_url: str, open_page: Open, segment: str, tmp_path: Path
) -> None:
    file = tmp_path / "kit.json"
    file.write_text(json.dumps(own_kit()))
    page = german(open_page, f"{service_url}{segment}/kit")
    page.set_input_files("#kit-file", file)
    page.get_by_role("button", name="Diese Ausrüstung öffnen").click()
    expect(page.locator("#kept")).to_contain_text("nur in diesem Browser gespeichert")
    page.goto(f"{service_url}{segment}/tasks/set-up")
    expect(page.locator("#kit-in-use")).to_contain_text("eigene Ausrüstung")
    page.select_option("#camera", "my-field-camera")
    page.select_option("#part1", "my-normal-50")
    page.check("#part1_reversed")
    for place, part in enumerate(("my-reversing-49", "my-tube-16"), 2):
        page.select_option("#add", part)
        page.get_by_role("button", name="Hinzufügen", exact=True).click()
        page.wait_for_selector(f"#part{place}")
    expect(page.locator("#result")).to_have_text("Ergebnis")
    page.goto(f"{service_url}{segment}/tasks/set-up?part1=wide-35&part1_f_number=8")
    expect(page.get_by_role("button", name="Meine Ausrüstung verwenden")).to_be_visible()


@pytest.mark.parametrize("width", [320, 360, 1440])
@pytest.mark.parametrize("address", ["/", RESULT, "/kit", "/compare", "/offline", "/problems/not-found"])
def test_german_words_fit_the_window(service_url: str, open_page: Open, address: str, width: int) -> None:
    page = open_page(f"{service_url}/de{address}", viewport={"width": width, "height": 800}, java_script_enabled=False)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
