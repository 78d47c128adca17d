"""The service, over a socket and in process, made once for all tests that ask it; and how random tests draw."""

import os
from collections.abc import Iterator

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, settings

from browsers import BROWSER, NO_BROWSER
from closeup_service.http.app import create_app
from running_proxy import NGINX, NO_NGINX
from running_service import running_service

# A busy machine is no fault: nothing here is timed. The gate draws the same examples every time, a contributor others.
settings.register_profile(
    "closeup", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize="CI" in os.environ
)
settings.load_profile("closeup")


OUTSIDE = {"browser", "faults", "gate", "http", "packaging", "proxy", "serving", "program", "service_port"}
"""Folders and fixtures whose tests start another program: a server, a browser, the proxy, the command, a checker."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark them, since the rest is the fast part."""
    for item in items:
        if OUTSIDE & {*item.nodeid.partition("::")[0].split("/"), *getattr(item, "fixturenames", ())}:
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


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly what was left out."""
    if BROWSER is None:
        terminalreporter.write_line(NO_BROWSER, yellow=True, bold=True)
    if NGINX is None:
        terminalreporter.write_line(NO_NGINX, yellow=True, bold=True)
