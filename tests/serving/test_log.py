"""The log of the running service: a JSON object on every line, with no more about people than was asked for."""

import json
import logging
import re
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace

import pytest
import requests
from flask import Flask

from closeup_service.http import headers, problems
from closeup_service.running import logs
from closeup_service.running.logs import FULL_MEMBERS, OTHER_MEMBERS, REQUEST_MEMBERS
from log_lines import lines_of, messages_of, requests_of
from running_service import running_service

PATH = "/v1/effective-f-number"
QUERY = f"{PATH}?f_number=8&magnification=1.2345"


def test_each_request_is_one_line_with_the_members_that_are_documented(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with running_service(log, "--workers", "1") as port:
        answer = requests.get(f"http://127.0.0.1:{port}{QUERY}", timeout=20)
        requests.get(f"http://127.0.0.1:{port}/docs/findFlash", timeout=20)
        requests.get(f"http://127.0.0.1:{port}/1.2345", timeout=20)
        requests.request("BREW", f"http://127.0.0.1:{port}/", timeout=20)
    found = [each for each in requests_of(log) if each["route"] != "/healthz"]
    # A line is written after its answer has gone, by one of several threads: the next may overtake it.
    assert sorted((each["route"] or "", each["method"], each["status"]) for each in found) == [
        ("", "GET", 404),
        ("", "other", 405),
        ("/docs/<name>", "GET", 200),
        (PATH, "GET", 200),
    ]
    (asked,) = [each for each in found if each["route"] == PATH]
    assert all(list(each) == list(REQUEST_MEMBERS) for each in found)
    assert asked["request_id"] == answer.headers["X-Request-Id"]
    assert asked["bytes"] == len(answer.content)
    assert 0 < asked["ms"] < 20_000
    assert datetime.fromisoformat(asked["time"]).utcoffset() is not None
    assert all(set(each) <= set(OTHER_MEMBERS) for each in lines_of(log) if "method" not in each)
    assert messages_of(log)[0] == f"Serving at http://127.0.0.1:{port}/"
    assert "1.2345" not in log.read_text(encoding="utf-8")


def test_in_full_it_has_the_address_asked_and_whose(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with running_service(log, "--workers", "1", CLOSEUP_ACCESS_LOG="full") as port:
        requests.get(f"http://127.0.0.1:{port}{QUERY}", timeout=20)
        requests.get(f"http://127.0.0.1:{port}/{'a' * 5000}", timeout=20)
        told = requests.get(f"http://127.0.0.1:{port}/privacy", timeout=20).text
    of_route = {each["route"]: each for each in requests_of(log)}
    asked, long = of_route[PATH], of_route[None]
    assert list(asked) == [*REQUEST_MEMBERS, *FULL_MEMBERS]
    assert (asked["address"], asked["client"]) == (QUERY, "127.0.0.1")
    assert len(long["address"]) == 600
    assert "because whoever runs this service asked for that" in told
    assert "There is no log of who asked what" not in told


def test_it_can_be_switched_off(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with running_service(log, "--workers", "1", "--access-log", "off") as port:
        requests.get(f"http://127.0.0.1:{port}{QUERY}", timeout=20)
    assert not requests_of(log)
    assert messages_of(log)


def handled(told: str) -> None:
    logger = logging.Logger("log")
    logger.addHandler(logs.JsonLines())
    logger.info(told)


@pytest.mark.parametrize("told", ["a\r\nb", "\x1b[31mred", "\x7f\x85\u2028", "\udc80 alone", "\x00", "%s %d"])
def test_whatever_is_told_stays_on_its_line(told: str, capfd: pytest.CaptureFixture[str]) -> None:
    handled(told)
    line, end = capfd.readouterr().err.split("\n")
    assert (line.isprintable(), end) == (True, "")
    assert json.loads(line)["message"]


def test_a_fault_of_the_service_is_one_line_with_its_id_and_no_word_to_the_client(
    capfd: pytest.CaptureFixture[str],
) -> None:
    app = Flask("faulty")
    app.logger.handlers[:] = [logs.JsonLines()]
    problems.register(app)
    headers.register(app, ["*"])

    @app.get("/faulty")
    def faulty() -> str:
        raise RuntimeError("the inside\nof it")

    answer = app.test_client().get("/faulty", headers={"X-Request-Id": "the-id"})
    assert (answer.status_code, "inside" in answer.text) == (500, False)
    (line,) = capfd.readouterr().err.splitlines()
    told = json.loads(line)
    assert (told["level"], told["request_id"]) == ("error", "the-id")
    assert "RuntimeError: the inside" in told["stack"]


def test_what_gunicorn_says_of_broken_requests_names_nobody(capfd: pytest.CaptureFixture[str]) -> None:
    kept = SimpleNamespace(full=False, error_log=logging.Logger("gunicorn"))
    kept.error_log.addHandler(logs.JsonLines())
    log = object.__new__(logs.Log)
    log.__dict__.update(vars(kept))
    log.warning("Invalid request from ip=192.0.2.7: 'GET /12.5'")
    told = json.loads(capfd.readouterr().err)
    assert not re.search(r"192|12\.5", told["message"])
