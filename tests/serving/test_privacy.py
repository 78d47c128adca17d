"""What the privacy page says of logs and cookies holds of the running service."""

import re
from pathlib import Path

import requests

from running_service import running_service
from wire import Wire

UNLIKELY = "12.3456789"
ASKER = "an-unlikely-asker"


def test_neither_values_nor_askers_reach_the_log_or_a_cookie(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with running_service(log, "--workers", "1", "--threads", "2") as port, requests.Session() as session:
        session.trust_env = False
        session.headers["User-Agent"] = ASKER
        address = f"http://127.0.0.1:{port}"
        answers = [
            session.get(f"{address}/v1/magnification?sensor=36x24&subject_width_mm={UNLIKELY}"),
            session.get(f"{address}/docs/findMagnification/try?sensor=36x24&subject_width_mm={UNLIKELY}"),
            session.get(f"{address}/v1/magnification?nothing={UNLIKELY}"),
            session.post(f"{address}/v1/magnification", data=f'{{"subject_width_mm": {UNLIKELY}, '.encode()),
            session.get(f"{address}/{UNLIKELY}"),
            session.get(f"{address}/{UNLIKELY}{'a' * 9000}"),
        ]
        assert [answer.status_code for answer in answers] == [200, 200, 422, 415, 404, 414]
        assert not session.cookies
        with Wire(port) as wire:
            assert wire.send(f"GET  /{UNLIKELY} HTTP/1.1\r\n\r\n".encode()).answer().status == 400
        counted = session.get(f"{address}/metrics").text
    logged = log.read_text(encoding="utf-8")
    assert "Serving at http://127.0.0.1" in logged
    assert "127.0.0.1" not in "".join(line for line in logged.splitlines() if not re.search("Serving|Listening", line))
    for told in (logged, counted):
        assert UNLIKELY not in told
        assert ASKER not in told
