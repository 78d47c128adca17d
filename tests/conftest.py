"""The service, over a socket and in process, made once for all tests that ask it; and how random tests draw."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, settings

from browsers import BROWSER, NO_BROWSER
from closeup_service.http.app import create_app
from firefox import FIREFOX, NO_FIREFOX
from operators_checkers import NO_PROMTOOL, PROMTOOL
from running_proxy import NGINX, NO_NGINX
from running_service import running_service
from thoroughness import FULL, up_to

# A busy machine is no fault: nothing here is timed. The gate draws the same examples every time, a contributor others.
settings.register_profile(
    "closeup",
    max_examples=up_to(100),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize="CI" in os.environ,
)
settings.load_profile("closeup")

TESTS = Path(__file__).parent
OUTSIDE_FOLDERS = {"browser", "faults", "http", "packaging", "proxy", "serving"}
OUTSIDE_FIXTURES = {"program", "service_port"}
"""Folders and fixtures whose tests start another program: a server, a browser, the proxy, the command. Checkers have a mark."""

SHORT = "not outside"
LEFT_OUT = (
    "The short run left out the tests that start a server, a browser, the proxy or a checker{random}; "
    'to run all: TEST_CASES=full python -m pytest -m ""'
)
RANDOM_LEFT_OUT = ", and four fifths of the random cases"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what starts another program, since the rest is the short run."""
    for item in items:
        folder = item.path.relative_to(TESTS).parts[0]
        if folder in OUTSIDE_FOLDERS or OUTSIDE_FIXTURES & {*getattr(item, "fixturenames", ())}:
            item.add_marker(pytest.mark.outside)


@pytest.fixture(scope="session")
def service_port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    log = tmp_path_factory.mktemp("service") / "log"
    with running_service(log, "--workers", "2", "--threads", "4") as port:
        yield port


@pytest.fixture(scope="session")
def service_url(service_port: int) -> str:
    return f"http://127.0.0.1:{service_port}"


@pytest.fixture(scope="session")
def api() -> FlaskClient:
    return create_app().test_client()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Say what was left out."""
    if config.getoption("markexpr") == SHORT:
        terminalreporter.write_line(LEFT_OUT.format(random="" if FULL else RANDOM_LEFT_OUT))
        return
    if BROWSER is None:
        terminalreporter.write_line(NO_BROWSER, yellow=True, bold=True)
    if FIREFOX is None:
        terminalreporter.write_line(NO_FIREFOX, yellow=True, bold=True)
    if NGINX is None:
        terminalreporter.write_line(NO_NGINX, yellow=True, bold=True)
    if PROMTOOL is None:
        terminalreporter.write_line(NO_PROMTOOL, yellow=True, bold=True)
