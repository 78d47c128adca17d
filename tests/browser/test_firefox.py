"""The pages in Firefox: they fit, nothing is complained of, and a form is filled in and answered."""

from collections.abc import Iterator

import pytest

from firefox import FIREFOX, NO_FIREFOX, Firefox, running_firefox
from page_reading import DRAWN
from running_service import until

ANSWERED = "/tasks/fill-the-frame?subject_width_mm=12&sensor=23.5x15.6"
STATES = ("/", "/tasks/fill-the-frame", ANSWERED, "/tasks/set-up", DRAWN)
ENTER = "\ue007"
ANSWERS = "document.readyState === 'complete' && document.querySelector('#result') !== null"
TOO_WIDE = "document.documentElement.scrollWidth > document.documentElement.clientWidth"


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    if FIREFOX is None:
        pytest.skip(NO_FIREFOX)
    with running_firefox(tmp_path_factory.mktemp("firefox")) as firefox:
        yield firefox


@pytest.fixture
def firefox(started: Firefox) -> Iterator[Firefox]:
    """A Firefox of whose console every complaint fails the test."""
    started.complaints.clear()
    yield started
    started.evaluate("document.title")  # what was said before is read with the answer
    assert started.complaints == []


@pytest.mark.parametrize("width", [360, 1440])
@pytest.mark.parametrize("state", STATES)
def test_pages_fit_the_screen(service_url: str, firefox: Firefox, state: str, width: int) -> None:
    firefox.resize(width)
    firefox.open(service_url + state)
    assert firefox.evaluate("innerWidth") == width
    assert firefox.evaluate("document.querySelectorAll('h1').length") == 1
    assert firefox.evaluate(TOO_WIDE) is False
    assert (firefox.evaluate("document.querySelector('#result') !== null")) is ("?" in state)


def test_pages_are_styled_and_drawn(service_url: str, firefox: Firefox) -> None:
    firefox.open(service_url + DRAWN)
    assert firefox.evaluate("getComputedStyle(document.querySelector('.skip')).position") == "absolute"
    drawn = "[...document.querySelectorAll('.drawing img')].filter((each) => each.loading !== 'lazy')"
    assert firefox.evaluate(f"{drawn}.length") > 0
    assert firefox.evaluate(f"{drawn}.every((each) => each.complete && each.naturalWidth > 0)") is True


def test_a_form_is_filled_in_and_answered_by_keyboard(service_url: str, firefox: Firefox) -> None:
    firefox.open(f"{service_url}/tasks/fill-the-frame")
    firefox.evaluate("document.querySelector('#sensor').value = '23.5x15.6'")
    firefox.evaluate("document.querySelector('#subject_width_mm').focus()")
    firefox.press(*"12,5 mm", ENTER)
    assert until(lambda: firefox.evaluate(ANSWERS) is True)
    assert firefox.evaluate("new URLSearchParams(location.search).get('subject_width_mm')") == "12,5 mm"
    assert "1.88:1" in firefox.evaluate("document.querySelector('section.result').innerText")


def test_the_browser_keeps_the_pages(service_url: str, firefox: Firefox) -> None:
    firefox.open(f"{service_url}/privacy")
    assert firefox.evaluate("navigator.serviceWorker.ready.then((found) => found.scope)") == f"{service_url}/"
    kept = "caches.keys().then((names) => names.filter((name) => name.startsWith('closeup ')).length)"
    assert firefox.evaluate(kept) > 0
