"""A service of its own for the attacks, whose log is read afterwards."""

from collections.abc import Iterator

import pytest

from attacked import Attacked
from running_service import running_service
from service_client import Service


@pytest.fixture(scope="module")
def attacked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacked]:
    log = tmp_path_factory.mktemp("attacked") / "log"
    with running_service(log, "--workers", "2", "--threads", "4", "--access-log", "full") as port:
        yield Attacked(Service(f"http://127.0.0.1:{port}", port), log)
