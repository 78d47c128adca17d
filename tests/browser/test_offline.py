"""Without a network: the browser keeps the pages and the last results, and says so."""

import re
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

import pytest
from playwright.sync_api import Browser, Page, expect
from werkzeug.serving import make_server

from closeup_service.http.app import create_app
from closeup_service.pages.offline import kept
from page_reading import DRAWN
from running_service import free_port, running_service, until

ANSWERED = "/tasks/fill-the-frame?subject_width_mm=12&sensor=23.5x15.6"
READY = "async () => { await navigator.serviceWorker.ready; return (await caches.keys()).length > 0; }"
CONTROLLED = "() => navigator.serviceWorker.controller !== null"
NAMES = "() => caches.keys()"
KEPT = """async (part) => {
  const name = (await caches.keys()).find((each) => each.includes(part));
  return (await (await caches.open(name)).keys()).map((each) => each.url);
}"""
ALL_DRAWN = """() => [...document.querySelectorAll('figure.drawing img')]
  .every((each) => each.complete && each.naturalWidth > 0)"""
NOTICE = "p.from-memory"
TIME = re.compile(r"\b[0-2]\d:[0-5]\d\b")


class Studio:
    """A service that can be stopped and started again at the same address, and a browser that keeps its pages."""

    def __init__(self, folder: Path, page: Page, root: str = "") -> None:
        self.folder, self.page, self.root, self.port = folder, page, root, free_port()
        self.started = 0

    @contextmanager
    def running(self, **environment: str) -> Iterator[None]:
        self.started += 1
        options = ("--workers", "1", "--threads", "4", *(("--prefix", self.root) if self.root else ()))
        with running_service(self.folder / f"log{self.started}", *options, port=self.port, **environment):
            yield

    def address(self, path: str) -> str:
        return f"http://127.0.0.1:{self.port}{self.root}{path}"

    def open(self, path: str) -> None:
        self.page.goto(self.address(path))

    def settle(self) -> None:
        """Open the start page, and wait until the worker keeps the pages and answers for this browser."""
        self.open("/")
        self.page.evaluate(READY)
        self.page.wait_for_function(CONTROLLED)


@pytest.fixture
def studio(request: pytest.FixtureRequest, browser: Browser, tmp_path: Path) -> Iterator[Studio]:
    context = browser.new_context(service_workers="allow", viewport={"width": 360, "height": 800})
    yield Studio(tmp_path, context.new_page(), getattr(request, "param", ""))
    context.close()


@pytest.mark.parametrize("studio", ["", "/closeup"], ids=["at the root", "below a prefix"], indirect=True)
def test_pages_and_the_last_results_are_there_without_the_service(studio: Studio) -> None:
    page = studio.page
    with studio.running():
        studio.settle()
        studio.open(ANSWERED)
        result = page.locator("#result").inner_text()
        numbers = page.locator("section.result").inner_text()
        studio.open(DRAWN)
        page.wait_for_function(ALL_DRAWN)
    page.reload()
    expect(page.locator(NOTICE)).to_contain_text("kept in your browser")
    assert TIME.search(page.locator(NOTICE).inner_text())
    assert page.locator("figure.drawing img").count() > 1
    page.wait_for_function(ALL_DRAWN)
    studio.open(ANSWERED)
    assert (page.locator("#result").inner_text(), page.locator("section.result").inner_text()) == (result, numbers)
    for path in ("/", "/tasks/light", "/lesson", "/reading/protecting-a-reversed-lens"):
        studio.open(path)
        expect(page.locator(NOTICE)).to_be_visible()
        assert page.evaluate("getComputedStyle(document.querySelector('.skip')).position") == "absolute"
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
    with studio.running():
        studio.open(ANSWERED)
        expect(page.locator(NOTICE)).to_have_count(0)
        assert page.locator("section.result").inner_text() == numbers


def language_of(page: Page) -> str:
    return str(page.evaluate("document.documentElement.lang"))


@pytest.mark.parametrize("studio", ["", "/closeup"], ids=["at the root", "below a prefix"], indirect=True)
def test_each_language_is_kept_and_answers_for_itself(studio: Studio) -> None:
    page = studio.page
    with studio.running():
        studio.settle()
        studio.open(f"/de{ANSWERED}")
    for address, language, notice in (
        ("/tasks/light", "en", "kept in your browser"),
        ("/en/tasks/light", "en", "kept in your browser"),
        ("/de/tasks/light", "de", "im Browser gespeichert"),
        ("/de/tasks/light#main", "de", "im Browser gespeichert"),
        (f"/de{ANSWERED}", "de", "im Browser gespeichert"),
    ):
        studio.open("/offline")
        studio.open(address)
        expect(page.locator(NOTICE)).to_contain_text(notice)
        assert TIME.search(page.locator(NOTICE).inner_text())
        assert language_of(page) == language
    page.locator(".languages a").click()
    expect(page.locator("h1")).to_have_text("This page is not kept in your browser")
    studio.open("/de/tasks/light?f_number=8&magnification=3:1")
    expect(page.locator("h1")).to_have_text("Diese Seite ist nicht im Browser gespeichert")
    expect(page.locator("#kept a")).to_have_attribute("href", studio.address(f"/de{ANSWERED}"))


def test_a_kept_page_without_a_language_is_in_that_of_the_browser(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(service_workers="allow", locale="de-AT")
    studio = Studio(tmp_path, context.new_page())
    with studio.running():
        studio.settle()
        assert language_of(studio.page) == "de"
    for address, language in (("/tasks/light", "de"), ("/", "de"), ("/en/tasks/light", "en"), ("/nowhere", "de")):
        studio.open(address)
        assert language_of(studio.page) == language
    context.close()


def test_a_service_that_keeps_silent_is_not_waited_for(studio: Studio) -> None:
    page = studio.page
    with studio.running():
        studio.settle()
        studio.open(ANSWERED)
    with socket.create_server(("127.0.0.1", studio.port)):
        page.reload()
        expect(page.locator(NOTICE)).to_contain_text("does not answer")
        expect(page.locator("#result")).to_be_visible()


def test_what_was_not_kept_is_said_with_the_results_that_were(studio: Studio) -> None:
    page = studio.page
    with studio.running():
        studio.settle()
        studio.open(ANSWERED)
    studio.open("/tasks/light?f_number=8&magnification=3:1")
    assert "not kept" in page.locator("h1").inner_text()
    link = page.locator("#kept a")
    expect(link).to_have_attribute("href", studio.address(ANSWERED))
    expect(page.locator("#kept li")).to_contain_text("fills the frame")
    link.click()
    expect(page.locator("#result")).to_be_visible()


def test_faults_and_photographs_are_not_kept_and_results_are_bounded(studio: Studio) -> None:
    page = studio.page
    with studio.running():
        studio.settle()
        studio.open("/tasks/fill-the-frame?subject_width_mm=x")
        studio.open(ANSWERED)
        for width in range(1, 24):
            studio.open(f"/tasks/fill-the-frame?subject_width_mm={width}&sensor=36x24")
        studio.open(ANSWERED)
        studio.open("/tasks/fill-the-frame?subject_width_mm=24&sensor=36x24")
        page.wait_for_load_state("networkidle")
        found = page.evaluate(KEPT, "results")
    assert len(found) == 24
    assert studio.address(ANSWERED) in found
    assert not any("=x" in each or "width_mm=1&" in each for each in found)


def test_what_is_kept_can_be_erased(studio: Studio) -> None:
    page = studio.page
    with studio.running():
        studio.settle()
        studio.open(ANSWERED)
        studio.open("/privacy")
        page.get_by_role("button", name="Erase").click()
        expect(page.get_by_text("Erased.")).to_be_visible()
        assert page.evaluate("async () => (await caches.keys()).length") == 0


CHANGED = """() => {
  const field = document.querySelector('#subject_width_mm');
  field.value = '17';
  field.dispatchEvent(new Event('change', {bubbles: true}));
}"""
LEFT = """() => {
  Object.defineProperty(document, 'hidden', {value: true});
  document.dispatchEvent(new Event('visibilitychange'));
}"""


@pytest.mark.parametrize("event", [CHANGED, LEFT], ids=["a change", "leaving"])
def test_an_address_that_the_page_changed_itself_is_kept(studio: Studio, event: str) -> None:
    page = studio.page
    live = ANSWERED.replace("=12", "=17")
    with studio.running():
        studio.settle()
        studio.open(ANSWERED)
        page.evaluate("(address) => history.replaceState(null, '', address)", studio.address(live))
        page.evaluate(event)
        assert until(lambda: studio.address(live) in page.evaluate(KEPT, "results"))
    page.reload()
    expect(page.locator("#subject_width_mm")).to_have_value("17")


@contextmanager
def version_of_the_pages(name: str, port: int) -> Iterator[None]:
    """Run the application in this process, as if it were this version."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(kept, "version", lambda _: name)
        server = make_server("127.0.0.1", port, create_app(), threaded=True)
        thread = Thread(target=server.serve_forever)
        thread.start()
        try:
            yield
        finally:
            server.shutdown()
            thread.join()
            server.server_close()


def test_a_newer_version_takes_the_place_of_the_older(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(service_workers="allow")
    studio = Studio(tmp_path, context.new_page())
    page = studio.page
    with version_of_the_pages("1", studio.port):
        studio.settle()
        page.evaluate("() => caches.open('another application')")
        old = page.evaluate(NAMES)
    with version_of_the_pages("2", studio.port):
        studio.open("/privacy")
        page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
        assert until(lambda: not [each for each in page.evaluate(NAMES) if each in old and "127.0.0.1" in each])
        new = page.evaluate(NAMES)
    assert "another application" in new
    assert set(new) & set(old) == {"another application"}
    context.close()


def test_the_manifest_is_taken(service_url: str, browser: Browser) -> None:
    page = browser.new_page(service_workers="block")
    page.goto(service_url)
    session = page.context.new_cdp_session(page)
    found = session.send("Page.getAppManifest")
    assert found["errors"] == []
    assert found["url"] == f"{service_url}/pages/en.webmanifest"
    page.close()
