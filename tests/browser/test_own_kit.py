"""One's own kit in a real browser: kept in it alone, taken along by forms, in every tab, and erased."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from kit_pages import own_kit

Open = Callable[..., Page]
KEPT = "() => localStorage.getItem('closeup-kit')"
KEPT_WORDS = "kept in this browser only"
WITHOUT_SCRIPT = {"java_script_enabled": False}


@pytest.fixture
def kit_file(tmp_path: Path) -> Path:
    file = tmp_path / "kit.json"
    file.write_text(json.dumps(own_kit()))
    return file


@pytest.fixture
def with_kit(service_url: str, open_page: Open, kit_file: Path) -> Page:
    page = open_page(f"{service_url}/kit")
    open_kit(page, kit_file)
    page.wait_for_function(f"({KEPT})() !== null")
    return page


def open_kit(page: Page, file: Path) -> None:
    page.set_input_files("#kit-file", file)
    page.get_by_role("button", name="Open this kit").click()
    page.get_by_role("heading", name="Anna's kit").wait_for()


def kept(page: Page) -> object:
    text = page.evaluate(KEPT)
    return None if text is None else json.loads(text)


def another_tab(page: Page, address: str) -> Page:
    tab = page.context.new_page()
    tab.goto(address)
    tab.wait_for_load_state("networkidle")
    return tab


def put_together(page: Page) -> None:
    page.select_option("#camera", "my-field-camera")
    page.select_option("#part1", "my-normal-50")
    page.check("#part1_reversed")
    for place, part in enumerate(("my-reversing-49", "my-tube-16"), 2):
        page.select_option("#add", part)
        page.get_by_role("button", name="Add", exact=True).click()
        page.wait_for_selector(f"#part{place}")
    page.get_by_role("button", name="Calculate", exact=True).click()
    page.wait_for_selector("#result")


def test_a_kit_stays_in_the_browser_and_is_erased(with_kit: Page) -> None:
    assert kept(with_kit) == own_kit()
    with_kit.reload()
    with_kit.get_by_role("heading", name="Anna's kit").wait_for()
    assert KEPT_WORDS in with_kit.inner_text("#kept")
    with_kit.on("dialog", lambda dialog: dialog.accept())
    with_kit.get_by_role("link", name="Erase the kit").click()
    with_kit.get_by_role("heading", name="Start your own kit").wait_for()
    assert kept(with_kit) is None


def test_a_part_is_added_by_keyboard_and_is_there_after_a_reload(with_kit: Page) -> None:
    with_kit.get_by_role("button", name="Add a camera").press("Enter")
    with_kit.get_by_label("Name").fill("Third camera")
    with_kit.select_option("#mount", "bayonet-18.0")
    with_kit.select_option("#sensor", "36x24")
    with_kit.get_by_label("Name").press("Enter")
    with_kit.get_by_role("status").wait_for()
    with_kit.reload()
    with_kit.locator("b", has_text="Third camera").wait_for()
    with_kit.get_by_role("button", name="Remove Third camera").click()
    with_kit.get_by_role("status").wait_for()
    assert kept(with_kit) == own_kit()


def test_a_part_is_added_to_what_another_tab_has_kept_meanwhile(with_kit: Page, service_url: str) -> None:
    other = another_tab(with_kit, f"{service_url}/kit")
    other.get_by_role("button", name="Add a camera").click()
    with_kit.get_by_role("button", name="Remove My Converter").click()
    with_kit.get_by_role("status").wait_for()
    other.get_by_label("Name").fill("Third camera")
    other.select_option("#mount", "bayonet-18.0")
    other.select_option("#sensor", "36x24")
    other.get_by_role("button", name="Keep this part").click()
    other.get_by_role("status").wait_for()
    with_kit.locator("b", has_text="Third camera").wait_for()
    held = kept(other)
    assert isinstance(held, dict)
    assert [part["name"] for part in held["cameras"]][-1] == "Third camera"
    assert "converters" not in held


def test_a_form_offers_the_kit_and_its_result_has_an_address(with_kit: Page, service_url: str, open_page: Open) -> None:
    with_kit.goto(f"{service_url}/tasks/set-up")
    with_kit.wait_for_load_state("networkidle")
    assert "Anna's kit" in with_kit.inner_text("#kit-in-use")
    put_together(with_kit)
    with_kit.wait_for_load_state("networkidle")
    shown = with_kit.locator(".figure").all_inner_texts()
    other = open_page(with_kit.url)
    assert other.locator(".figure").all_inner_texts() == shown
    assert kept(other) is None


def test_the_kit_of_the_service_is_used_until_the_own_one_is_wanted_again(with_kit: Page, service_url: str) -> None:
    address = f"{service_url}/tasks/find-set-up"
    with_kit.goto(address)
    with_kit.wait_for_load_state("networkidle")
    with_kit.get_by_role("link", name="Use the kit of this service").click()
    with_kit.wait_for_load_state("networkidle")
    assert "demo kit" in with_kit.inner_text("#kit-in-use")
    with_kit.get_by_role("button", name="Use my kit").click()
    with_kit.wait_for_load_state("networkidle")
    assert "Anna's kit" in with_kit.inner_text("#kit-in-use")


def test_a_link_shows_what_it_was_made_with_and_offers_the_own_kit(with_kit: Page, service_url: str) -> None:
    with_kit.goto(f"{service_url}/tasks/find-set-up?camera=field-camera&subject_width_mm=12")
    assert "demo kit" in with_kit.inner_text("#kit-in-use")
    with_kit.get_by_role("button", name="Use my kit").click()
    with_kit.wait_for_load_state("networkidle")
    assert "Anna's kit" in with_kit.inner_text("#kit-in-use")


def test_what_another_site_posts_is_not_kept(with_kit: Page, service_url: str) -> None:
    foreign = json.dumps({"name": "Foreign kit"})
    with_kit.evaluate(
        """([address, kit]) => {
          const form = Object.assign(document.createElement("form"), { method: "post", action: address });
          form.enctype = "multipart/form-data";
          form.append(Object.assign(document.createElement("input"), { name: "kit", value: kit }));
          document.body.append(form);
          form.submit();
        }""",
        [f"{service_url}/kit", foreign],
    )
    with_kit.get_by_role("heading", name="Foreign kit").wait_for()
    assert kept(with_kit) == own_kit()


def test_everything_works_without_a_script(service_url: str, open_page: Open, kit_file: Path, tmp_path: Path) -> None:
    page = open_page(f"{service_url}/kit", **WITHOUT_SCRIPT)
    open_kit(page, kit_file)
    with page.expect_download() as download:
        page.get_by_role("button", name="Download the kit file").click()
    download.value.save_as(tmp_path / "saved.json")
    assert json.loads((tmp_path / "saved.json").read_text()) == own_kit()
    page.get_by_role("button", name="Put a set-up together").click()
    page.wait_for_selector("form.of-kit")
    put_together(page)
    assert page.locator("a.again").count() == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 768, 1440])
def test_the_page_of_the_kit_fits_every_screen(
    service_url: str, open_page: Open, kit_file: Path, width: int, scheme: str
) -> None:
    page = open_page(f"{service_url}/kit", viewport={"width": width, "height": 800}, color_scheme=scheme)
    open_kit(page, kit_file)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("button", name="Add a reversing ring").click()
    page.wait_for_selector("#part")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
