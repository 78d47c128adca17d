"""The shipped proxy before the real service, started once for each module."""

from collections.abc import Iterator

import pytest

from running_proxy import NGINX, NO_NGINX, Changes, Proxy, running_proxy
from service_client import Service


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    if NGINX is None:
        for item in items:
            if "proxy" in item.path.parts:
                item.add_marker(pytest.mark.skip(NO_NGINX))


@pytest.fixture(scope="module")
def proxy(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, service_port: int
) -> Iterator[Proxy]:
    """Start the proxy; a module's CHANGES are those of its settings."""
    changes: Changes = getattr(request.module, "CHANGES", {})
    with running_proxy(tmp_path_factory.mktemp("proxy") / "root", [service_port], changes) as proxy:
        yield proxy


@pytest.fixture(scope="module")
def through(proxy: Proxy) -> Iterator[Service]:
    """Return the service as it is asked through the proxy."""
    service = Service(proxy.url, proxy.port)
    yield service
    service.session.close()
