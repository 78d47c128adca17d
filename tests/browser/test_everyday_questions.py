"""The questions that people ask most, by the keyboard alone in a real browser."""

import re
from collections.abc import Callable, Mapping

import pytest
from playwright.sync_api import Page

Open = Callable[..., Page]
MOST_STOPS = 200
NAME = "document.activeElement.name || document.activeElement.textContent.trim()"


def tab_to(page: Page, wanted: str) -> None:
    """Press Tab until the field or the button of this name has the focus."""
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        name = page.evaluate(NAME)
        if name == wanted:
            return
    pytest.fail(f"The keyboard does not reach {wanted}.")


def answer(page: Page, address: str, typed: Mapping[str, str], folded: tuple[str, ...] = ()) -> str:
    """Fill a form by the keyboard and send it by Enter; the text of its result."""
    page.goto(address)
    for title in folded:
        tab_to(page, title)
        page.keyboard.press("Enter")
    for name, text in typed.items():
        tab_to(page, name)
        page.keyboard.type(text)
    page.keyboard.press("Tab")
    tab_to(page, "Calculate") if page.evaluate(NAME) != "Calculate" else None
    page.keyboard.press("Enter")
    page.wait_for_selector("#result, .faults")
    return page.locator("main").inner_text()


EARLIER = "From an earlier frame that was right"
QUESTIONS: list[tuple[str, dict[str, str], tuple[str, ...], str]] = [
    ("sharpness", {"magnification": "3:1", "f_number": "f/16", "sensor": "36"}, (), r"85\.9"),
    ("sharpness", {"magnification": "2:1", "sensor": "36", "subject_depth_mm": "1 mm"}, (), r"10\.5"),
    (
        "sharpness",
        {"magnification": "2:1", "f_number": "5.6", "sensor": "36", "subject_depth_mm": "4"},
        (),
        "13 frames",
    ),
    (
        "light",
        {"magnification": "2.5:1", "before_magnification": "1:1", "before_flash_power": "1/32"},
        (EARLIER,),
        r"0\.0957",
    ),
    (
        "fill-the-frame",
        {
            "subject_width_mm": "6 mm",
            "sensor": "36",
            "mounting": "reversed",
            "focal_length_mm": "50",
            "camera_register_mm": "44",
        },
        ("Lens, for extension and working distance",),
        r"between 270 and 310 mm",
    ),
    ("find-set-up", {"camera": "Field", "magnification": "2:1"}, (), "Best first"),
]


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
@pytest.mark.parametrize(("task", "typed", "folded", "said"), QUESTIONS, ids=lambda value: str(value)[:30])
def test_a_question_comes_out_by_the_keyboard(
    service_url: str,
    open_page: Open,
    task: str,
    typed: dict[str, str],
    folded: tuple[str, ...],
    said: str,
    script: bool,
) -> None:
    page = open_page(f"{service_url}/", java_script_enabled=script)
    text = answer(page, f"{service_url}/tasks/{task}", typed, folded)
    assert page.locator("#result").count() == 1, text
    assert re.search(said, page.locator("main").text_content() or "")


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
def test_a_time_as_cameras_show_it_is_chosen_by_the_keyboard(service_url: str, open_page: Open, script: bool) -> None:
    page = open_page(f"{service_url}/", java_script_enabled=script)
    typed = {"magnification": "2.5:1", "before_magnification": "1:1", "before_exposure_time_s": "125"}
    answer(page, f"{service_url}/tasks/light", typed, (EARLIER,))
    tab_to(page, "1/125 s")
    page.keyboard.press("Enter")
    page.wait_for_selector("#result")
    assert page.locator("#before_exposure_time_s").input_value() == "1/125"


def test_a_fault_is_reached_from_the_list_by_the_keyboard(service_url: str, open_page: Open) -> None:
    page = open_page(f"{service_url}/tasks/sharpness?magnification=3")
    tab_to(page, "Marked f-number")
    page.keyboard.press("Enter")
    assert page.evaluate("document.querySelector(':target').id") == "f_number"
