"""Heavy calculations: a stated budget, one at a time in each process, ended when their client has gone."""

import json
import threading
from collections import Counter
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from closeup_client.blocks import blocks_of
from closeup_service.operations.asking.turns import TURN, one_at_a_time
from heavy_requests import HEAVY, SEARCH, TABLE, search, table
from log_lines import requests_of
from running_service import running_service, until
from service_client import Service
from wire import Wire

SMALL = "/v1/effective-f-number?f_number=8&magnification=1"
CROWD = 32
OPTIMUM = ("optimum_f_number", "depth_of_field.total_mm")
SHORTER = {**HEAVY, "search that meets nothing": (SEARCH, search())}
MOST_ROWS: Mapping[str, tuple[int, dict[str, Any]]] = {
    "one wavelength": (10_000, {}),
    "white light": (2000, {"light": "white"}),
    "the optimum too": (5000, {"fields": OPTIMUM}),
    "white light and the optimum": (1000, {"light": "white", "fields": OPTIMUM}),
}


def sent(api: FlaskClient, body: bytes, path: str = TABLE) -> Any:
    return api.post(path, data=body, content_type="application/json")


@pytest.mark.parametrize("name", MOST_ROWS)
def test_a_table_is_as_long_as_its_model_and_light_allow(api: FlaskClient, name: str) -> None:
    most, members = MOST_ROWS[name]
    too_long: dict[str, Any] = {**members, "columns": {"/train/1/length_mm": [9.0] * 10_000}}
    (fault,) = sent(api, table(1, **too_long)).get_json()["errors"] if most < 10_000 else (None,)
    if fault:
        assert fault["pointer"] == "/columns"
        assert f"at most {most} rows; these are 10000" in fault["detail"]
    request = json.loads(table(10_000, **members))
    lengths = [len(block["columns"]["/train/1/length_mm"]) for block in blocks_of(request)]
    assert (max(lengths), sum(lengths)) == (most, 10_000)


def test_the_document_states_the_budget(api: FlaskClient) -> None:
    document = api.get("/openapi.json").get_json()
    told = document["paths"][TABLE]["post"]
    assert all(text in told["description"] for text in ("10000 rows", "at most 2000", "half as many"))
    assert all("503" in document["paths"][path]["post"]["responses"] for path in (TABLE, SEARCH, "/v1/focus-stack"))


@pytest.mark.parametrize("name", SHORTER)
def test_what_is_heavy_waits_for_its_turn_and_what_is_small_does_not(api: FlaskClient, name: str) -> None:
    path, body = SHORTER[name]
    answers: list[Any] = []
    with one_at_a_time():
        heavy = threading.Thread(target=lambda: answers.append(sent(api, body, path)))
        heavy.start()
        assert until(lambda: TURN.waiting == 1)
        assert sent(api, table(10, light="white")).status_code == 200
        assert api.get(SMALL).status_code == 200
    heavy.join()
    assert answers[0].status_code == 200


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    log = tmp_path_factory.mktemp("heavy") / "log"
    with running_service(log) as port:
        yield Service(f"http://127.0.0.1:{port}", port)


def test_a_crowd_of_heavy_requests_fails_no_small_one(service: Service) -> None:
    """F44"""
    over = threading.Event()

    def ask(number: int) -> tuple[int, str | None]:
        path, body = list(SHORTER.values())[number % len(SHORTER)]
        own = Service(service.url, service.port)
        answer = own.post(path, body)
        return answer.status_code, answer.headers.get("Retry-After")

    def ask_small() -> Counter[int]:
        found = Counter[int]()
        while not over.is_set():
            found[service.get(SMALL).status_code] += 1
        return found

    with ThreadPoolExecutor(CROWD + 1) as pool:
        small = pool.submit(ask_small)
        heavy = list(pool.map(ask, range(CROWD)))
        over.set()
        found = small.result()
    assert {*found} == {200}
    statuses = Counter(status for status, _ in heavy)
    assert {*statuses} == {200, 503}
    assert all(after is not None for status, after in heavy if status == 503)


def test_a_calculation_ends_when_its_client_has_gone(tmp_path: Path) -> None:
    """F45"""
    path, body = HEAVY["table with estimates"]
    head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    log = tmp_path / "log"
    with running_service(log, "--workers", "1", "--threads", "8", "--photograph-wait-s", "15") as port:
        for _ in range(5):  # one calculates, the others wait, and find at their turn that nobody waits for them
            with Wire(port) as wire:
                wire.send(head.encode() + body)
        assert until(lambda: sum(line["route"] == path for line in requests_of(log)) == 5)
    assert sum(line["status"] == 400 for line in requests_of(log)) >= 3
