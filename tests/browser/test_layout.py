"""The layout of the pages in a real browser: menus, form and result side by side, drawings, what is printed."""

from collections.abc import Callable, Iterator
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageStat
from playwright.sync_api import Locator, Page

from closeup_service.pages.task import Task
from closeup_service.pages.tasks import TASKS
from page_reading import DRAWN, EXAMPLES, STATES, example_address

Open = Callable[..., Page]
KNOWN_BY_ENGRAVINGS = "/tasks/set-up?register_mm=44&reversed=yes&focal_length_mm=28+mm&tube_mm=7+mm"
NARROW, WIDE = {"width": 360, "height": 740}, {"width": 1440, "height": 900}
every_script = pytest.mark.parametrize("script", [False, True], ids=["without JavaScript", "with JavaScript"])
SMALL_TARGETS = """() => [...document.querySelectorAll('header a, header summary, button, select, input, .jump a, .stages a')]
  .filter((each) => each.checkVisibility()).map((each) => [each.outerHTML.slice(0, 90), each.getBoundingClientRect()])
  .filter(([, box]) => box.height < 24 || box.width < 24).map(([html]) => html)"""
SHIFTED = """() => new Promise((done) => {
  let sum = 0;
  new PerformanceObserver((list) => { for (const each of list.getEntries()) sum += each.value; })
    .observe({type: 'layout-shift', buffered: true});
  setTimeout(() => done(sum), 300);
})"""


@every_script
@pytest.mark.parametrize("viewport", [NARROW, WIDE], ids=["narrow", "wide"])
@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.slug)
def test_the_keyboard_reaches_every_task_by_its_stage(
    service_url: str, open_page: Open, task: Task, script: bool, viewport: dict[str, int]
) -> None:
    page = open_page(f"{service_url}/privacy", viewport=viewport, java_script_enabled=script)
    link = page.locator("header").get_by_role("link", name=task.title, exact=True)
    menu = page.locator("header details", has=page.locator(f"a[href$='{task.address}']"))
    assert not link.is_visible()
    menu.locator("summary").focus()
    page.keyboard.press("Enter")
    for _ in TASKS:
        page.keyboard.press("Tab")
        if link.evaluate("link => link === document.activeElement"):
            break
    box = link.bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= viewport["width"]
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{task.address}")
    assert page.locator("header [aria-current=page]").count() == 1
    assert (
        page.locator("header [aria-current=page]").inner_text() == ""
        or page.locator("header summary.here").is_visible()
    )


def test_a_menu_closes_on_escape_and_when_the_focus_leaves_it(service_url: str, open_page: Open) -> None:
    page = open_page(f"{service_url}/", viewport=WIDE)
    first = page.locator("header details").first
    first.locator("summary").click()
    assert first.get_attribute("open") is not None
    page.keyboard.press("Tab")
    page.keyboard.press("Escape")
    assert first.get_attribute("open") is None
    assert first.locator("summary").evaluate("summary => summary === document.activeElement")
    page.keyboard.press("Enter")
    page.locator("footer p").first.click()
    assert first.get_attribute("open") is None


@pytest.mark.parametrize("state", ["/", *(example_address(*each) for each in EXAMPLES[:4]), DRAWN])
def test_targets_are_large_enough_for_fingers(service_url: str, open_page: Open, state: str) -> None:
    page = open_page(service_url + state, viewport=NARROW)
    assert page.evaluate(SMALL_TARGETS) == []


@pytest.mark.parametrize("state", ["/", KNOWN_BY_ENGRAVINGS, DRAWN])
@pytest.mark.parametrize("viewport", [NARROW, WIDE], ids=["narrow", "wide"])
def test_nothing_shifts_while_a_page_loads(
    service_url: str, open_page: Open, state: str, viewport: dict[str, int]
) -> None:
    page = open_page(service_url + state, viewport=viewport)
    page.wait_for_load_state("networkidle")
    assert page.evaluate(SHIFTED) < 0.02


def test_on_a_desk_the_form_stands_beside_the_result_and_each_stays_in_view(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + DRAWN, viewport=WIDE)
    result, asking = page.locator(".result").bounding_box(), page.locator(".asking").bounding_box()
    assert result is not None
    assert asking is not None
    assert result["x"] + result["width"] <= asking["x"]
    assert asking["x"] + asking["width"] > 0.9 * WIDE["width"]
    assert not page.locator(".jump").is_visible()
    page.mouse.wheel(0, 1200)
    page.wait_for_function("() => scrollY > 500")
    button = page.locator(".asking form").first.get_by_role("button", name="Calculate", exact=True)
    box = button.bounding_box()
    assert box is not None
    assert 0 <= box["y"] <= WIDE["height"] - box["height"]
    before = page.evaluate("scrollY")
    page.locator(".asking").evaluate("asking => asking.scrollTo(0, 10000)")
    assert page.evaluate("scrollY") == before


@every_script
def test_on_a_phone_links_lead_from_the_result_to_the_form_and_back(
    service_url: str, open_page: Open, script: bool
) -> None:
    page = open_page(service_url + DRAWN, viewport=NARROW, java_script_enabled=script)
    jump = page.locator(".jump")
    for name, target in (("What you entered", "#asked"), ("Result", "#result")):
        jump.get_by_role("link", name=name).click()
        page.wait_for_function(
            "target => Math.abs(document.querySelector(target).getBoundingClientRect().top) < 200", arg=target
        )
        bar, heading = jump.bounding_box(), page.locator(target).bounding_box()
        assert bar is not None
        assert heading is not None
        assert bar["y"] == pytest.approx(0, abs=1) or name == "Result"
        assert heading["y"] >= bar["y"] + bar["height"] - 1, "the heading is not hidden behind the bar"


@pytest.mark.parametrize("width", [360, 768, 1024, 1440])
def test_drawings_are_as_wide_as_their_column_and_can_be_read(service_url: str, open_page: Open, width: int) -> None:
    page = open_page(service_url + DRAWN, viewport={"width": width, "height": 900})
    pictures = page.locator("img.fitted")
    assert pictures.count() >= 3
    for picture in pictures_of(page):
        shown, drawn, room = picture.evaluate(
            "picture => [picture.clientWidth, picture.naturalWidth, picture.closest('figure').clientWidth]"
        )
        assert shown >= 0.98 * room
        assert 12.5 * shown / drawn >= 11, "the least text of a drawing is 12.5 units"


def pictures_of(page: Page) -> Iterator[Locator]:
    """Every drawing of a page, unfolded, in view and loaded."""
    page.evaluate("for (const each of document.querySelectorAll('.result details')) each.open = true")
    for picture in page.locator("img.fitted").all():
        picture.scroll_into_view_if_needed()
        picture.evaluate("picture => picture.decode()")
        yield picture


def brightness(page: Page, **options: Any) -> float:
    return float(ImageStat.Stat(Image.open(BytesIO(page.screenshot(**options))).convert("L")).mean[0])


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("alone", [False, True], ids=["on a page", "alone"])
def test_drawings_are_dark_in_the_dark_and_light_in_the_light(
    service_url: str, open_page: Open, scheme: str, alone: bool
) -> None:
    page = open_page(service_url + DRAWN, color_scheme=scheme)
    for picture in pictures_of(page):
        box = picture.bounding_box()
        address = picture.evaluate("picture => picture.currentSrc")
        assert box is not None
        if alone:
            other = open_page(address, color_scheme=scheme, extra_http_headers={"Accept": "image/svg+xml"})
            found = brightness(other, clip={"x": 0, "y": 0, "width": 300, "height": 200})
        else:
            found = brightness(page, clip=box)
        assert found > 190 if scheme == "light" else found < 90, address


@every_script
def test_the_usual_question_is_answered_on_the_start_page_and_asked_from_it(
    service_url: str, open_page: Open, script: bool
) -> None:
    page = open_page(f"{service_url}/", java_script_enabled=script)
    answered = page.locator(".answer").inner_text()
    page.locator("form.usual").get_by_role("button").click()
    page.wait_for_selector("#result")
    told = page.locator(".result").inner_text()
    for figure in [each for each in answered.split() if ":1" in each or each.isdigit()]:
        assert figure.strip(",") in told
    page.go_back()
    page.locator("#focal_length_mm").fill("35")
    page.locator("#focal_length_mm").press("Enter")
    page.wait_for_selector("#result")
    assert "focal_length_mm=35" in page.url


@pytest.mark.parametrize("state", [STATES[1], "/tasks/set-up"])
@pytest.mark.parametrize("width", [768, 1440])
def test_fields_of_a_row_begin_at_one_height(service_url: str, open_page: Open, state: str, width: int) -> None:
    page = open_page(service_url + state, viewport={"width": width, "height": 900})
    tops = page.evaluate(
        """() => [...document.querySelectorAll('.fields')].filter((each) => each.checkVisibility()).map((each) =>
          [...each.querySelectorAll(':scope > .field:not(.tick) > :is(.typed, select)')].map((field) =>
            [Math.round(field.parentElement.getBoundingClientRect().top), Math.round(field.getBoundingClientRect().top)]))"""
    )
    assert any(len(group) > 1 for group in tops)
    for group in tops:
        assert len({field for _, field in group}) == len({row for row, _ in group})


def test_a_page_is_printed_by_a_button_where_a_script_runs(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + example_address(*EXAMPLES[2]))
    page.evaluate("window.print = () => { document.title = 'printed'; }")
    page.get_by_role("button", name="Print").click()
    assert page.title() == "printed"
    plain = open_page(service_url + example_address(*EXAMPLES[2]), java_script_enabled=False)
    assert plain.get_by_role("button", name="Print").count() == 0
