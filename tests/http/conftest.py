"""The running service, ready to be asked."""

from collections.abc import Iterator

import pytest

from service_client import Service


@pytest.fixture(scope="session")
def service(service_url: str, service_port: int) -> Iterator[Service]:
    service = Service(service_url, service_port)
    yield service
    service.session.close()
