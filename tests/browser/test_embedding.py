"""The calculator on foreign pages: another origin, a strict content security policy, in a real browser."""

import re
import socket
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from closeup_service.pages.embedding import snippets
from closeup_service.pages.embedding.sums import SUMS
from foreign_page import document, foreign_page, strict
from running_service import free_port, running_service

Opener = Callable[..., Page]
SCHEME = '<meta name="color-scheme" content="light dark">'
MOST_HEIGHT = 1000
REFUSALS = ("Failed to load resource", "Blocked script execution", "Framing ", "Failed to find a valid digest")
"""How the browser begins to say that a request failed, or that sandbox, frame-ancestors or integrity refused one."""
FALLBACK = "What the marked aperture really is"
APERTURE = SUMS["effective-f-number"]


def element_on(page: Page) -> Locator:
    return page.locator("closeup-sum")


def work_out(element: Locator, **typed: str) -> None:
    for name, text in typed.items():
        element.locator(f"#{name}").fill(text)
    element.get_by_role("button").first.click()


@pytest.mark.parametrize("name", SUMS)
def test_the_element_answers_from_another_origin_under_a_strict_policy(
    service_url: str, open_page: Opener, name: str
) -> None:
    asked = SUMS[name]
    with foreign_page(document(snippets.element(asked, "en", service_url)), strict(service_url)) as address:
        element = element_on(open_page(address))
        expect(element.get_by_role("link")).to_be_hidden()
        for summary in element.locator("form summary").all():
            summary.click()
        for field, text in asked.example.items():
            place = element.locator(f"#{field}")
            if place.evaluate("place => place.localName") == "select":
                place.select_option(text)
            else:
                place.fill(text)
        element.get_by_role("button").first.click()
        expect(element.get_by_role("status")).to_have_text(re.compile("^Done"))
        assert element.locator("dd").count() == len(asked.results)
        assert "undefined" not in element.evaluate("element => element.shadowRoot.textContent")


def test_the_element_says_numbers_as_people_do_in_german(service_url: str, open_page: Opener) -> None:
    body = snippets.element(SUMS["depth-of-field"], "de", service_url)
    with foreign_page(document(body, "de"), strict(service_url)) as address:
        element = element_on(open_page(address))
        element.locator("#sensor").select_option("23.5x15.6")
        element.locator("#mounting").select_option("reversed")
        work_out(element, f_number="f/5,6", magnification="2:1")
        expect(element.locator("dd").first).to_have_text("0,313 mm")
        expect(element.locator("dd").last).to_have_text("f/16,8")
        expect(element.locator("dt").first).to_have_text("Schärfentiefe insgesamt")
        assert element.locator(".sum").get_attribute("lang") == "de"
        cautions = element.locator("ul").first
        expect(cautions).to_contain_text("Ein umgekehrtes Objektiv wendet Hinterglas")
        assert cautions.locator("[lang=en]").count() == 0


@pytest.mark.parametrize(
    ("language", "typed", "said"),
    [
        ("de", "125", "125 wurde als 125 s gelesen. Ist 1/125 s gemeint, bitte 1/125 schreiben."),
        ("en", "125", "125 was read as 125 s. If 1/125 s is meant, write 1/125."),
        ("en", "125 s", None),
        ("en", "1/125", None),
    ],
)
def test_the_element_says_what_it_read_as_whole_seconds(
    service_url: str, open_page: Opener, language: str, typed: str, said: str | None
) -> None:
    body = snippets.element(SUMS["motion-blur"], language, service_url)
    with foreign_page(document(body, language), strict(service_url)) as address:
        element = element_on(open_page(address))
        work_out(element, magnification="1:1", sideways_speed_mm_s="2", exposure_time_s=typed)
        expect(element.locator("dd").first).to_be_visible()
        assert element.get_by_text(said or " s gelesen").count() == (1 if said else 0)
        assert element.get_by_text("was read as").count() == (1 if said and language == "en" else 0)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"f_number": "acht", "magnification": "2:1"}, "acht is not a number."),
        ({"f_number": "f/8", "magnification": ""}, "Fill this in."),
        ({"f_number": "1,250", "magnification": "2"}, "1,250 can be read in two ways: write it without thousands."),
        ({"f_number": "8", "magnification": "1:0"}, "1:0 is not a number."),
        ({"f_number": "500", "magnification": "2x"}, "Give a number from 0.5 to 256."),
    ],
)
def test_a_fault_stands_beside_its_field(service_url: str, open_page: Opener, typed: dict[str, str], told: str) -> None:
    with foreign_page(document(snippets.element(APERTURE, "en", service_url)), strict(service_url)) as address:
        element = element_on(open_page(address))
        work_out(element, **typed)
        fault = element.get_by_text(told)
        expect(fault).to_be_visible()
        named = (fault.get_attribute("id") or "").removesuffix("-fault")
        expect(element.locator(f"#{named}")).to_have_attribute("aria-invalid", "true")
        expect(element.locator(f"#{named}")).to_be_focused()


@pytest.fixture
def patient_page(browser: Browser) -> Iterator[Page]:
    """A page on which requests may fail and policies refuse, which every browser complains of; nothing else may."""
    context = browser.new_context()
    page, complaints = context.new_page(), list[str]()
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    yield page
    context.close()
    assert [each for each in complaints if not each.startswith(REFUSALS)] == []


def test_a_silent_service_leaves_the_link_and_offers_another_try(
    service_url: str, patient_page: Page, tmp_path: Path
) -> None:
    port = free_port()
    home = f"http://127.0.0.1:{port}"
    body = snippets.element(APERTURE, "en", service_url).replace(f'server="{service_url}"', f'server="{home}"')
    policy = strict(service_url).replace("connect-src", f"connect-src {home}")
    with foreign_page(document(body), policy) as address:
        patient_page.goto(address)
        element, link = element_on(patient_page), patient_page.get_by_role("link", name=FALLBACK)
        expect(element.get_by_role("status")).to_contain_text("does not answer just now")
        expect(link).to_be_visible()
        with running_service(tmp_path / "log", "--workers", "1", port=port):
            element.get_by_role("button", name="Try again").click()
            work_out(element, f_number="f/8", magnification="1:1")
            expect(element.locator("dd").first).to_have_text("f/16")
            expect(link).to_be_hidden()
        work_out(element, f_number="f/4", magnification="1:1")
        expect(element.get_by_role("status")).to_contain_text("does not answer just now")
        expect(link).to_be_visible()
        with running_service(tmp_path / "log", "--workers", "1", port=port):
            element.get_by_role("button", name="Try again").click()
            expect(element.locator("dd").first).to_have_text("f/8")
            expect(link).to_be_hidden()


def test_a_service_that_hangs_is_given_up_after_the_timeout(service_url: str, patient_page: Page) -> None:
    with socket.create_server(("127.0.0.1", 0)) as deaf:
        home = f"http://127.0.0.1:{deaf.getsockname()[1]}"
        body = snippets.element(APERTURE, "en", service_url)
        body = body.replace(f'server="{service_url}"', f'server="{home}" timeout="0.3"')
        policy = strict(service_url).replace("connect-src", f"connect-src {home}")
        with foreign_page(document(body), policy) as address:
            patient_page.goto(address)
            expect(element_on(patient_page).get_by_role("button", name="Try again")).to_be_visible()


def test_what_the_service_refuses_is_said_in_its_language(service_url: str, patient_page: Page) -> None:
    body = snippets.element(SUMS["working-distance"], "de", service_url)
    with foreign_page(document(body, "de"), strict(service_url)) as address:
        patient_page.goto(address)
        element = element_on(patient_page)
        element.locator("#mounting").select_option("reversed")
        work_out(element, focal_length_mm="35", magnification="2:1")
        fault = element.locator("#lens_register_mm-fault")
        expect(fault).to_have_text("Needed for a reversed lens.")
        expect(fault).to_have_attribute("lang", "en")
        expect(element.locator("#lens_register_mm")).to_be_focused()


def test_a_tampered_script_is_refused(service_url: str, patient_page: Page) -> None:
    body = re.sub(r"sha384-\S{8}", "sha384-AAAAAAAA", snippets.element(APERTURE, "en", service_url))
    with foreign_page(document(body), strict(service_url)) as address:
        said: list[str] = []
        patient_page.on("console", lambda each: said.append(each.text))
        patient_page.goto(address)
        expect(patient_page.get_by_role("link", name=FALLBACK)).to_be_visible()
        assert patient_page.evaluate("customElements.get('closeup-sum')") is None
        assert any("integrity" in each for each in said)


def test_it_follows_the_direction_of_its_page(service_url: str, open_page: Opener) -> None:
    body = snippets.element(APERTURE, "en", service_url).replace('lang="en" server', "server")
    with foreign_page(document(body, "ar", "rtl"), strict(service_url)) as address:
        element = element_on(open_page(address))
        label, field = element.locator("label").first.bounding_box(), element.locator("input").first.bounding_box()
        assert label is not None
        assert field is not None
        assert label["x"] > field["x"]
        assert element.locator(".sum").get_attribute("lang") == "en"


@pytest.mark.parametrize(("scheme", "ground"), [("light", "rgb(255, 255, 255)"), ("dark", "rgb(18, 18, 18)")])
def test_it_follows_the_scheme_of_its_page(service_url: str, open_page: Opener, scheme: str, ground: str) -> None:
    with foreign_page(document(SCHEME + snippets.element(APERTURE, "en", service_url)), strict(service_url)) as address:
        element = element_on(open_page(address, color_scheme=scheme))
        expect(element).to_have_css("background-color", ground)


def test_custom_properties_change_its_colours(service_url: str, open_page: Opener) -> None:
    with foreign_page(document(snippets.element(APERTURE, "en", service_url)), strict(service_url)) as address:
        element = element_on(open_page(address))
        element.evaluate("element => element.style.setProperty('--closeup-paper', 'rgb(1, 2, 3)')")
        element.evaluate("element => element.style.setProperty('--closeup-accent', 'rgb(4, 5, 6)')")
        expect(element).to_have_css("background-color", "rgb(1, 2, 3)")
        expect(element.get_by_role("button", name="Work it out")).to_have_css("background-color", "rgb(4, 5, 6)")


def test_the_keyboard_alone_does_it(service_url: str, open_page: Opener) -> None:
    with foreign_page(document(snippets.element(APERTURE, "en", service_url)), strict(service_url)) as address:
        page = open_page(address)
        element = element_on(page)
        expect(element.locator("#f_number")).to_be_visible()
        page.keyboard.press("Tab")
        expect(element.locator("#f_number")).to_be_focused()
        assert element.locator("#f_number").evaluate("field => getComputedStyle(field).outlineStyle") == "solid"
        page.keyboard.type("8")
        page.keyboard.press("Tab")
        page.keyboard.type("2:1")
        page.keyboard.press("Enter")
        expect(element.locator("dd").first).to_have_text("f/24")


def test_attributes_may_fill_and_change_it(service_url: str, open_page: Opener) -> None:
    body = snippets.element(APERTURE, "en", service_url)
    body = body.replace("<closeup-sum", '<closeup-sum values="f_number=f/4&amp;magnification=1:2"')
    with foreign_page(document(body), strict(service_url)) as address:
        element = element_on(open_page(address))
        work_out(element)
        expect(element.locator("dd").first).to_have_text("f/6")
        element.evaluate("element => element.setAttribute('sum', 'flash')")
        expect(element.get_by_role("heading", name="Flash by guide number")).to_be_visible()


def test_the_frame_grows_with_its_content(service_url: str, open_page: Opener) -> None:
    with foreign_page(document(snippets.frame(APERTURE, "en", service_url)), strict(service_url)) as address:
        page = open_page(address, viewport={"width": 320, "height": 800})
        frame = page.frame_locator("iframe")
        expect(page.locator("iframe")).not_to_have_attribute("height", str(snippets.FRAME_HEIGHT))
        before = int(page.locator("iframe").get_attribute("height") or 0)
        frame.get_by_label("Marked f-number").fill("f/8")
        frame.get_by_label("Magnification", exact=True).fill("2:1")
        frame.get_by_role("button").click()
        expect(frame.locator("dd").first).to_have_text("f/24")
        page.wait_for_function("before => document.querySelector('iframe').height > before", arg=before)


@pytest.mark.parametrize(
    ("sandbox", "works"),
    [("allow-scripts", True), ("allow-forms", True), ("allow-scripts allow-forms", True), ("", False)],
)
def test_a_sandboxed_frame_without_host_script(service_url: str, patient_page: Page, sandbox: str, works: bool) -> None:
    body = f'<iframe src="{service_url}/embed/frame/effective-f-number" width="300" height="200" sandbox="{sandbox}"></iframe>'
    with foreign_page(document(body), f"default-src 'none'; frame-src {service_url}") as address:
        patient_page.goto(address)
        frame = patient_page.frame_locator("iframe")
        expect(frame.get_by_role("heading")).to_have_text(FALLBACK)
        expect(frame.locator("body")).to_have_css("margin", "0px")
        if works:
            frame.get_by_label("Marked f-number").fill("f/8")
            frame.get_by_label("Magnification", exact=True).fill("2:1")
            frame.get_by_label("Magnification", exact=True).press("Enter")
            expect(frame.locator("dd").first).to_have_text("f/24")


def test_forged_heights_are_left_alone(service_url: str, open_page: Opener) -> None:
    forger = f'<iframe id="forger" src="{service_url}/embed/frame/flash" title="another"></iframe>'
    body = forger + snippets.frame(APERTURE, "en", service_url)
    with foreign_page(document(body), strict(service_url)) as address:
        page = open_page(address)
        calculator = page.locator("iframe.closeup-frame")
        expect(calculator).not_to_have_attribute("height", str(snippets.FRAME_HEIGHT))
        honest = calculator.get_attribute("height")
        message = {"type": "closeup-height", "height": 3333}
        page.evaluate("message => postMessage(message, '*')", message)
        forging = page.frames[1]
        forging.evaluate("message => parent.postMessage(message, '*')", message)
        sane = page.frames[2]
        for height in (None, "900", 1e999):
            sane.evaluate("height => parent.postMessage({ type: 'closeup-height', height }, '*')", height)
        sane.evaluate("() => parent.postMessage({ type: 'closeup-height', height: 50 }, '*')")
        expect(calculator).to_have_attribute("height", "200")
        assert int(honest or 0) > 200


@pytest.mark.parametrize("name", SUMS)
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_framed_page_works_without_scripts_and_is_short(
    service_url: str, open_page: Opener, name: str, language: str
) -> None:
    query = urlencode({"lang": language, **SUMS[name].example})
    page = open_page(
        f"{service_url}/embed/frame/{name}?{query}",
        viewport={"width": 320, "height": 400},
        java_script_enabled=False,
        color_scheme="dark",
    )
    expect(page.locator("dd")).to_have_count(len(SUMS[name].results))
    box = page.locator("html").bounding_box()
    assert box is not None
    assert box["width"] <= 320
    assert page.locator("main").bounding_box()["height"] <= MOST_HEIGHT  # type: ignore[index]


def test_only_framed_pages_may_be_framed(service_url: str, patient_page: Page) -> None:
    body = f'<iframe src="{service_url}/put-it-on-your-site" title="refused"></iframe>'
    with foreign_page(document(body), strict(service_url)) as address:
        patient_page.goto(address)
        assert patient_page.frames[1].url != f"{service_url}/put-it-on-your-site"


@pytest.mark.parametrize("rung", snippets.RUNGS)
def test_the_page_of_snippets_gives_what_works(service_url: str, open_page: Opener, rung: str) -> None:
    page = open_page(f"{service_url}/put-it-on-your-site", viewport={"width": 320, "height": 800})
    page.get_by_label("How it stands").select_option(rung)
    page.get_by_label("Language").select_option("de")
    page.get_by_role("button").click()
    page.wait_for_load_state()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    pasted = page.locator("pre").inner_text()
    with foreign_page(document(pasted, "de"), strict(service_url)) as address:
        other = open_page(address)
        if rung == "link":
            other.get_by_role("link").click()
        if rung == "form":
            other.get_by_role("button").click()
        if rung == "frame":
            heading = other.frame_locator("iframe").get_by_role("heading").first
        else:
            heading = other.get_by_role("heading").first
        expect(heading).to_have_text("Was die eingestellte Blende wirklich ist")


def test_the_plain_form_works_without_scripts(service_url: str, open_page: Opener) -> None:
    with foreign_page(document(snippets.form(APERTURE, "en", service_url)), strict(service_url)) as address:
        page = open_page(address, java_script_enabled=False)
        page.get_by_role("button").click()
        expect(page.locator("dd").first).to_have_text("f/20")
