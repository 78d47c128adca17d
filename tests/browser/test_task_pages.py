"""The start page and the task pages in a real browser."""

import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageStat
from playwright.sync_api import Page

from closeup_service.pages.task import Example, Input, Task
from page_reading import EXAMPLES, STATES, example_address, example_id
from ruler_pictures import pictures

Open = Callable[..., Page]
PART = re.compile(r"part\d+")
WIDTHS = (320, 768, 1440)
PHONE = {"width": 360, "height": 740}
MOST_STOPS = 150
FOCUSED = """() => {
  const focused = document.activeElement;
  const style = getComputedStyle(focused);
  return [focused.tagName + '#' + focused.id + focused.getAttribute('href') + focused.textContent.slice(0, 30),
          style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2];
}"""
TOO_SMALL = """() => [...document.querySelectorAll('body *')].filter(
  (each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.data.trim())
    && parseFloat(getComputedStyle(each).fontSize) < 11).map((each) => each.outerHTML)"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_every_page_fits_every_screen(service_url: str, open_page: Open, width: int, scheme: str) -> None:
    page = open_page(f"{service_url}/", viewport={"width": width, "height": 800}, color_scheme=scheme)
    for state in STATES:
        page.goto(service_url + state)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, state
        assert page.evaluate(TOO_SMALL) == [], state


@pytest.mark.parametrize("state", [STATES[0], "/tasks/set-up", example_address(*EXAMPLES[3])])
def test_the_keyboard_reaches_everything_with_visible_focus(service_url: str, open_page: Open, state: str) -> None:
    page = open_page(service_url + state)
    wanted = page.locator(
        "a[href]:visible, input:visible, select:visible, textarea:visible, summary:visible, "
        "button:visible:not([tabindex='-1'])"
    )
    count = wanted.count()
    reached: list[str] = []
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        name, visible = page.evaluate(FOCUSED)
        if name.startswith("BODY") or (reached and name == reached[0]):
            break
        assert visible, name
        reached.append(name)
    assert reached[0].startswith("A##main")
    assert len(reached) >= count


def test_the_skip_link_leads_past_the_navigation(service_url: str, open_page: Open) -> None:
    page = open_page(f"{service_url}/tasks/light")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.name") == "f_number"


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
@pytest.mark.parametrize(("task", "example"), EXAMPLES, ids=example_id)
def test_every_task_is_done_by_its_form(
    service_url: str, open_page: Open, task: Task, example: Example, script: bool
) -> None:
    page = open_page(f"{service_url}/tasks/{task.slug}", java_script_enabled=script)
    put_parts(page, example, script)
    for summary in page.locator("form[method=get] details > summary").all():
        summary.click()
    known = {each.name: each for each in task.inputs}
    for name, text in example.typed.items():
        if PART.fullmatch(name):
            continue
        for value in (text,) if isinstance(text, str) else text:
            give(page, known.get(name), name, value)
    page.get_by_role("button", name="Calculate", exact=True).click()
    page.wait_for_selector("#result")
    assert page.url == service_url + example_address(task, example)


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
def test_a_set_up_from_a_search_is_changed_and_printed(service_url: str, open_page: Open, script: bool) -> None:
    page = open_page(f"{service_url}/tasks/find-set-up", java_script_enabled=script)
    page.locator("#subject_width_mm").fill("12 mm")
    page.locator("#camera").select_option("field-camera")
    page.get_by_role("button", name="Calculate", exact=True).click()
    page.get_by_role("link", name="Everything about it").first.click()
    aperture = page.locator("form [name$='_f_number']").first
    aperture.fill("f/4")
    page.get_by_role("button", name="Calculate", exact=True).click()
    page.wait_for_selector("#result")
    page.locator("#basis > summary").click()
    assert page.get_by_role("row", name="Marked f-number").filter(has_text="f/4").count() == 1
    assert aperture.input_value() == "f/4"
    page.get_by_role("link", name="A sheet for the table").click()
    assert "f/4" in page.locator("ol").inner_text()


def put_parts(page: Page, example: Example, script: bool) -> None:
    """Put the parts of a set-up in their places, of which the blank form has the first."""
    for name in filter(PART.fullmatch, example.typed):
        value = example.typed[name]
        held = page.locator(f"form [name={name}]")
        if held.count():
            held.select_option(value)
            if not script:
                page.get_by_role("button", name="Calculate", exact=True).click()
        else:
            page.locator("select[name=add]").select_option(value)
            page.get_by_role("button", name="Add", exact=True).click()
        page.wait_for_selector(f"form [name={name.replace('part', 'was')}][value='{value}']", state="attached")


def give(page: Page, wanted: Input | None, name: str, value: str) -> None:
    """Type, choose or tick, as the field asks."""
    control = page.locator(f"form[method=get] [name={name}]")
    if control.first.get_attribute("type") == "checkbox" or (wanted is not None and wanted.several):
        page.locator(f"form[method=get] [name={name}][value='{value}']").check()
    elif control.evaluate("field => field.tagName") == "SELECT":
        control.select_option(value)
    else:
        control.fill(value)


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
def test_a_photograph_is_read(service_url: str, open_page: Open, tmp_path: Path, script: bool) -> None:
    photograph = tmp_path / "ruler.jpg"
    photograph.write_bytes(pictures()["ruler.jpg"])
    page = open_page(f"{service_url}/tasks/ruler", java_script_enabled=script)
    page.locator("#photo-photo").set_input_files(photograph)
    page.locator("#photo-tick_pitch_mm").fill("0,5 mm")
    page.locator("#photo-sensor").select_option("23.5x15.6")
    page.get_by_role("button", name="Read the photograph").click()
    page.wait_for_selector("#result")
    assert "1.57:1" in page.locator(".first").inner_text()
    assert page.locator("img.overlay").evaluate("picture => picture.naturalWidth") > 100


@pytest.mark.parametrize(
    "task_and_example", [each for each in EXAMPLES if each[0].slug == "set-up"], ids=lambda each: example_id(each[1])
)
def test_the_result_of_a_set_up_takes_at_most_five_screens_of_a_phone(
    service_url: str, open_page: Open, task_and_example: tuple[Task, Example]
) -> None:
    page = open_page(service_url + example_address(*task_and_example), viewport=PHONE)
    page.wait_for_load_state("networkidle")
    end = page.locator("section.result").evaluate("result => result.getBoundingClientRect().bottom + scrollY")
    assert end <= 5 * PHONE["height"]


@pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
def test_a_figure_leads_to_what_was_assumed_for_it(service_url: str, open_page: Open, script: bool) -> None:
    page = open_page(
        f"{service_url}/tasks/sharpness?f_number=8&magnification=1&sensor=36x24", java_script_enabled=script
    )
    assert not page.locator("#assumed-a").is_visible()
    page.locator(".first a.mark").first.click()
    assert page.locator(":target").is_visible()
    assert "assumed" in page.locator(":target").inner_text()


def test_a_fault_leads_to_its_field(service_url: str, open_page: Open) -> None:
    page = open_page(f"{service_url}/tasks/fill-the-frame?subject_width_mm=15&sensor=36x24&focal_length_mm=35+kg")
    page.get_by_role("alert").get_by_role("link", name="Focal length").click()
    assert page.evaluate("document.activeElement.id || document.querySelector(':target').id") == "focal_length_mm"
    assert page.locator("#focal_length_mm").is_visible()
    assert page.locator("#focal_length_mm").input_value() == "35 kg"


def test_a_link_can_be_copied_with_a_script(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + example_address(*EXAMPLES[0]), permissions=["clipboard-read", "clipboard-write"])
    page.get_by_role("button", name="Copy the link").click()
    page.get_by_text("Copied.").wait_for()
    assert page.evaluate("navigator.clipboard.readText()") == page.url


def test_schemes_are_light_and_dark(service_url: str, open_page: Open) -> None:
    brightness = {}
    for scheme in ("light", "dark"):
        page = open_page(f"{service_url}/", color_scheme=scheme)
        picture = Image.open(BytesIO(page.screenshot())).convert("L")
        brightness[scheme] = ImageStat.Stat(picture).mean[0]
    assert brightness["light"] > 200
    assert brightness["dark"] < 60


def test_a_printed_result_leaves_form_and_navigation_out(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + example_address(*EXAMPLES[2]), color_scheme="dark")
    page.emulate_media(media="print")
    assert page.locator("#result").is_visible()
    assert not page.locator("form").first.is_visible()
    assert not page.locator("header nav").is_visible()
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    written = page.pdf(format="A4")
    assert written.startswith(b"%PDF")
