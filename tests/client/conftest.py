"""A client of the running service by socket, and one within this process."""

from collections.abc import Iterator

import pytest

from closeup_client import Client


@pytest.fixture
def by_socket(service_url: str) -> Iterator[Client]:
    with Client(service_url) as client:
        yield client


@pytest.fixture(scope="session")
def in_process() -> Iterator[Client]:
    with Client.in_process() as client:
        yield client


@pytest.fixture(params=[pytest.param("by_socket", marks=pytest.mark.outside), "in_process"])
def client(request: pytest.FixtureRequest) -> Client:
    found: Client = request.getfixturevalue(request.param)
    return found
