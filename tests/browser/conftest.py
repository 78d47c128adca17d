"""A real browser, kept to the loopback interface: what a page asks of another host, or complains of, fails its test."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Route, sync_playwright

from browsers import BROWSER, NO_BROWSER, OPTIONS

HOST = "127.0.0.1"
NO_WORKER = "Service Worker registration blocked by Playwright"
"""A worker would ask for pages out of sight of these tests; `test_offline.py` has its own browser."""


@dataclass(slots=True)
class Watched:
    """A page and what went wrong on it."""

    page: Page
    complaints: list[str] = field(default_factory=list)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if BROWSER is None:
        pytest.skip(NO_BROWSER)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=BROWSER, args=list(OPTIONS))
        yield started
        started.close()


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Open pages, by the options of a browser context such as `viewport`, `color_scheme`, `java_script_enabled`."""
    opened: list[Watched] = []

    def open_one(address: str, **options: Any) -> Page:
        context = browser.new_context(**{"service_workers": "block", **options})
        watched = Watched(context.new_page())
        context.route("**/*", lambda route: keep_to_loopback(route, watched.complaints))
        watched.page.on("console", lambda said: note(said.type, said.text, watched.complaints))
        watched.page.on("pageerror", lambda error: watched.complaints.append(str(error)))
        opened.append(watched)
        watched.page.goto(address)
        return watched.page

    yield open_one
    complaints = [complaint for watched in opened for complaint in watched.complaints]
    for watched in opened:
        watched.page.context.close()
    assert complaints == []


def keep_to_loopback(route: Route, complaints: list[str]) -> None:
    if urlsplit(route.request.url).hostname == HOST:
        route.continue_()
    else:
        complaints.append(f"asked for {route.request.url}")
        route.abort()


def note(kind: str, text: str, complaints: list[str]) -> None:
    if kind in ("error", "warning") and text != NO_WORKER:
        complaints.append(f"{kind}: {text}")
