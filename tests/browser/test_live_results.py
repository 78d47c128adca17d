"""The result follows what is typed: the same as without a script, the last answer wins, and nothing is lost on the way."""

import random
import re
from collections.abc import Callable
from itertools import pairwise
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from closeup_service.pages.task import Example, Task
from page_reading import EXAMPLES, example_address, example_id
from thoroughness import up_to

Open = Callable[..., Page]
KIT_SET_UP = (
    "/tasks/set-up?part1=wide-35&part1_f_number=8&part1_reversed=yes&part2=step-up-49-52&part3=reversing-52-house"
    "&part4=table-bellows&part4_length_mm=60&camera=field-camera&subject_depth_mm=1"
)
TYPED_SET_UP = (
    "/tasks/set-up?part1=typed_lens&part1_focal_length_mm=28&part1_f_number=8&part1_reversed=yes&part2=typed_spacer"
    "&part2_length_mm=7&register_mm=44&sensor=36x24"
)
WHAT_IS_SHOWN = """() => [...document.querySelectorAll('main .result, main .asking form')].map((each) => {
  const copy = each.cloneNode(true);
  for (const added of copy.querySelectorAll('[data-added], .slide')) added.remove();
  for (const all of copy.querySelectorAll('details')) all.removeAttribute('open');
  for (const each of copy.querySelectorAll('[value=""]')) each.removeAttribute('value');
  for (const each of copy.querySelectorAll('*')) { // the order in which attributes were set shows nowhere
    const attributes = [...each.attributes].sort((one, other) => (one.name < other.name ? -1 : 1));
    for (const { name } of attributes) each.removeAttribute(name);
    for (const { name, value } of attributes) each.setAttribute(name, value);
  }
  return copy.outerHTML.replace(/\\s+/g, ' ').replace(/> </g, '><');
})"""
BLANK = '<svg xmlns="http://www.w3.org/2000/svg"/>'
SENTENCES = """() => [...document.querySelectorAll('main .result')].map((each) => {
  const copy = each.cloneNode(true);
  for (const added of copy.querySelectorAll('[data-added]')) added.remove();
  return copy.textContent.replace(/\\s+/g, ' ');
})"""


def settled(page: Page) -> None:
    """Wait until nothing is asked any more."""
    expect(page.locator("main[aria-busy]")).to_have_count(0)


def figure(page: Page) -> Locator:
    return page.locator(".result .first .figure").first


@pytest.fixture(scope="module")
def drawn() -> random.Random:
    return random.Random(20)


CHOICES: dict[str, tuple[str, ...]] = {
    "part1": ("wide-35", "normal-50", "enlarger-75", "typed_lens", "tube-16"),
    "part1_f_number": ("2.8", "f/8", "5,6", "11", "", "x"),
    "part1_focal_length_mm": ("28", "50 mm", "1.5 in", "0"),
    "part1_reversed": ("yes", ""),
    "part2_length_mm": ("7", "12,5", "1/2 in", "400", ""),
    "part4_length_mm": ("40", "60", "100,5 mm", "4.5 cm", "900", ""),
    "camera": ("field-camera", "stand-camera", "club-reflex", ""),
    "sensor": ("36x24", "23.5x15.6", ""),
    "register_mm": ("18", "44", "45.5"),
    "subject_depth_mm": ("1", "0.5", "", "2 mm"),
    "target_subject_width_mm": ("", "12 mm", "6"),
    "wavelength_nm": ("550", "450", ""),
}


def change_something(page: Page, drawn: random.Random) -> str:
    """Change a field or press a button at random; says which."""
    page.evaluate("() => { for (const each of document.querySelectorAll('.asking form details')) each.open = true; }")
    names = [name for name in CHOICES if page.locator(f"form [name={name}]").count()]
    name = drawn.choice([*names, "do"])
    if name == "do":
        buttons = page.locator(".moves button")
        button = buttons.nth(drawn.randrange(buttons.count()))
        said = str(button.get_attribute("value"))
        button.click()
        return said
    field, text = page.locator(f"form [name={name}]").first, drawn.choice(CHOICES[name])
    if field.get_attribute("type") == "checkbox":
        field.set_checked(bool(text))
    elif field.evaluate("field => field.tagName") == "SELECT":
        field.select_option(text)
    else:
        field.fill(text)
        field.blur()
    return f"{name}={text}"


@pytest.mark.parametrize("start", [KIT_SET_UP, TYPED_SET_UP], ids=["kit", "typed"])
def test_what_is_shown_live_is_what_is_shown_without_a_script(
    service_url: str, open_page: Open, start: str, drawn: random.Random
) -> None:
    live = open_page(service_url + start, viewport={"width": 1440, "height": 900})
    plain = open_page(service_url + start, java_script_enabled=False)
    for page in (live, plain):
        page.route("**/v1/**", lambda route: route.fulfill(content_type="image/svg+xml", body=BLANK))
    done: list[str] = []
    for _ in range(up_to(100)):
        done.append(change_something(live, drawn))
        settled(live)
        plain.goto(live.url)
        assert live.url == plain.url, done
        if plain.locator("#result").count():
            assert live.evaluate(WHAT_IS_SHOWN) == plain.evaluate(WHAT_IS_SHOWN), done
        else:
            assert live.locator(".result:not(.stale)").count() == 0, done
            live.goto(service_url + start)


@pytest.mark.parametrize(
    ("task", "example"),
    [each for each in EXAMPLES if each[0].slug not in ("set-up", "ruler", "rings")],
    ids=example_id,
)
def test_every_task_follows_its_fields(service_url: str, open_page: Open, task: Task, example: Example) -> None:
    page = open_page(service_url + example_address(task, example))
    before = page.evaluate(SENTENCES)
    field = page.locator(".asking form input[type=text]:not([value=''])").filter(visible=True).first
    name, text = str(field.get_attribute("name")), field.input_value()
    number = re.search(r"\d+", text)
    field.fill(f"{int(number[0]) + 1}" if number else "9")
    settled(page)
    assert page.evaluate(SENTENCES) != before
    assert name in parse_qs(urlsplit(page.url).query)
    live = page.evaluate(SENTENCES)
    page.reload()
    assert page.evaluate(SENTENCES) == live


def test_the_last_answer_wins_though_an_earlier_one_comes_later(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP)

    def hold_back(route: Route) -> None:
        page.wait_for_timeout(500 if "length_mm=7" in route.request.url else 0)
        route.continue_()

    page.route("**/tasks/set-up?**", hold_back)
    field = page.locator("#part4_length_mm")
    field.fill("")
    field.press_sequentially("71.5", delay=40)
    expect(page).to_have_url(re.compile("part4_length_mm=71.5"))
    settled(page)
    live = page.evaluate(SENTENCES)
    page.unroute("**/tasks/set-up?**")
    page.reload()
    assert page.evaluate(SENTENCES) == live
    assert field.input_value() == "71.5"


def test_what_is_typed_keeps_its_place_and_what_is_unfolded_stays_so(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP)
    folded = page.locator("details.group").filter(has_text="Lenses that are not known")
    folded.locator("summary").click()
    other = page.locator("#part-1 details")
    other.locator("summary").click()
    field = page.locator("#part4_length_mm")
    field.fill("12")
    field.press("ArrowLeft")
    field.press_sequentially("0")
    settled(page)
    assert field.input_value() == "102"
    assert page.evaluate("[document.activeElement.id, document.activeElement.selectionStart]") == ["part4_length_mm", 2]
    assert other.get_attribute("open") is not None
    assert folded.get_attribute("open") is not None


def test_half_a_number_moves_nothing_and_a_wrong_one_is_said_when_it_is_left(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP, viewport={"width": 1440, "height": 900})
    field = page.locator("#part4_length_mm")
    field.focus()
    before = field.bounding_box()
    field.fill("60 m")
    field.press_sequentially("e")
    settled(page)
    assert page.locator(".wrong").count() == 0
    assert page.locator(".result.stale").count() == 1
    assert field.bounding_box() == before
    page.keyboard.press("Tab")
    settled(page)
    expect(page.locator("#part4_length_mm-fault")).to_be_visible()
    assert field.get_attribute("aria-invalid") == "true"
    field.fill("61")
    settled(page)
    assert page.locator(".wrong, .result.stale").count() == 0
    expect(page.locator(".told")).to_contain_text(":1")


def test_parts_are_moved_turned_added_and_removed_by_keyboard(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP)
    page.locator("#part-1").get_by_role("button", name="Turn round").focus()
    page.keyboard.press("Enter")
    settled(page)
    assert "part1_reversed" not in page.url
    assert page.evaluate("document.activeElement.id") == "part-1"
    page.locator("#part-2").get_by_role("button", name="To the camera").press("Enter")
    settled(page)
    assert "part3=step-up-49-52" in page.url
    assert page.evaluate("document.activeElement.id") == "part-3"
    page.locator("#part-3").get_by_role("button", name="Remove").press("Enter")
    settled(page)
    assert "step-up-49-52" not in page.url
    page.locator("#add").select_option("close-up-2")
    assert "close-up-2" not in page.url
    page.locator("#add").press("Tab")
    page.keyboard.press("Enter")
    settled(page)
    assert "part1=close-up-2" in page.url
    assert page.evaluate("document.activeElement.id") == "part-1"
    assert page.locator("#add").input_value() == ""


def test_enter_in_a_field_calculates_and_removes_nothing(service_url: str, open_page: Open) -> None:
    for script in (True, False):
        page = open_page(service_url + KIT_SET_UP, java_script_enabled=script)
        page.locator("#part4_length_mm").fill("77")
        page.locator("#part4_length_mm").press("Enter")
        page.wait_for_url(re.compile("part4_length_mm=77"))
        expect(page.locator(".on-bench")).to_have_count(4)


def test_sliders_move_bellows_and_aperture(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP)
    for slide, key, field, text in (
        ("part4_length_mm", "ArrowRight", "part4_length_mm", "60.5"),
        ("part1_f_number", "ArrowLeft", "part1_f_number", "6.7"),
    ):
        before = page.evaluate(SENTENCES)
        page.locator(f"#{slide}-slide").focus()
        page.keyboard.press(key)
        settled(page)
        assert page.locator(f"#{field}").input_value() == text
        assert f"{field}={text}" in page.url
        assert page.evaluate(SENTENCES) != before
        assert page.locator(f"#{slide}-slide").get_attribute("aria-valuetext") == text
    page.locator("#part4_length_mm").fill("100")
    assert page.locator("#part4_length_mm-slide").input_value() == "100"


def test_the_side_view_follows(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP)
    drawings = [page.locator(".result img").first.get_attribute("src")]
    for length in ("70", "90"):
        page.locator("#part4_length_mm").fill(length)
        settled(page)
        drawings.append(page.locator(".result img").first.get_attribute("src"))
    assert all(before != after for before, after in pairwise(drawings))
    assert page.locator(".result img").first.evaluate("picture => picture.naturalWidth") > 100


def test_a_form_for_a_photograph_is_never_followed(service_url: str, open_page: Open) -> None:
    page = open_page(f"{service_url}/tasks/ruler")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "/tasks/" in request.url else None)
    page.locator("#photo-tick_pitch_mm").fill("0.5")
    page.locator("#photo-tick_pitch_mm").blur()
    settled(page)
    assert asked == []


def test_a_service_that_does_not_answer_is_asked_again(service_url: str, open_page: Open) -> None:
    page = open_page(service_url + KIT_SET_UP)
    page.evaluate("""() => {
      const answered = window.fetch;
      window.fetch = () => { window.fetch = answered; return Promise.resolve(new Response("", { status: 429 })); };
    }""")
    page.locator("#part4_length_mm").fill("88")
    expect(page).to_have_url(re.compile("part4_length_mm=88"), timeout=8000)
