"""The start command: settings, address, one line for each mistake, a clean end."""

import errno
import json
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
import requests

from closeup_service.http.serve import main
from log_lines import messages_of
from running_service import COMMAND, LONGEST_END_S, clean_environment, free_port, running_service


def start(*options: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [COMMAND, *options],
        capture_output=True,
        text=True,
        timeout=60,
        env=clean_environment(**environment),
        check=False,
    )


def test_help_explains_every_setting() -> None:
    shown = start("--help")
    assert shown.returncode == 0
    for name in ("--host", "--port", "--workers", "--threads", "--allowed-origins", "CLOSEUP_PORT", "127.0.0.1", "78"):
        assert name in shown.stdout


def test_bad_settings_are_a_line_each_and_exit_78() -> None:
    ended = start("--threads", "none", CLOSEUP_PORT="eighty", CLOSEUP_COLOUR="red")
    assert ended.returncode == 78
    lines = ended.stderr.splitlines()
    assert len(lines) == 3
    assert all(line.startswith("closeup-service: ") for line in lines)


def test_an_address_in_use_is_one_line_at_once() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        started = time.monotonic()
        ended = start("--port", str(taken.getsockname()[1]))
    assert ended.returncode == 69
    assert ended.stderr.count("\n") == 1
    assert "already in use" in ended.stderr
    assert time.monotonic() - started < 10


def test_an_address_that_is_not_ours_is_one_line() -> None:
    ended = start("--host", "192.0.2.1", "--port", str(free_port()))
    assert ended.returncode == 69
    assert ended.stderr.count("\n") == 1


@pytest.mark.parametrize("option", ["--access-log=loud", "--access-log=", "--workers=0", "--threads=2.5", "--host=a b"])
def test_a_bad_setting_is_told_with_what_it_takes(option: str) -> None:
    ended = start(option)
    assert ended.returncode == 78
    assert re.fullmatch(r"closeup-service: --[a-z-]+='.*': give [^\n]+\.\n", ended.stderr)


def test_a_full_disk_is_one_line() -> None:
    limited = f"ulimit -f 1; exec {COMMAND} --port {free_port()}"
    ended = subprocess.run(
        ["sh", "-c", limited], capture_output=True, text=True, timeout=60, env=clean_environment(), check=False
    )
    assert (ended.returncode, ended.stderr.count("\n")) == (73, 1)
    assert "no place for the counts" in ended.stderr


def test_where_nothing_can_be_written_is_one_line(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def refuse(**_: object) -> str:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(tempfile, "mkdtemp", refuse)
    with pytest.raises(SystemExit) as ended:
        main(["--port", str(free_port())])
    assert ended.value.code == 73
    assert capfd.readouterr().err.endswith("Read-only file system.\n")


@pytest.mark.parametrize("number", [errno.EACCES, errno.EIO])
def test_a_kit_that_cannot_be_read_is_one_line(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], tmp_path: Path, number: int
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    kit = tmp_path / "kit.json"
    kit.touch()
    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(SystemExit) as ended:
        main(["--kit", str(kit)])
    assert ended.value.code == 78
    assert capfd.readouterr().err == f"closeup-service: --kit={str(kit)!r}: {os.strerror(number)}.\n"


def test_metrics_tell_of_the_workers_and_are_all_documented(tmp_path: Path) -> None:
    with running_service(tmp_path / "log", "--workers", "2") as port:
        address = f"http://127.0.0.1:{port}"
        assert requests.get(f"{address}/healthz", timeout=10).status_code == 200
        told = requests.get(f"{address}/metrics", timeout=10).text
        documented = requests.get(f"{address}/running", timeout=10).text
    assert re.search(r"^closeup_requests_in_progress 1\.0$", told, re.MULTILINE)
    assert re.search(r"^closeup_workers [12]\.0$", told, re.MULTILINE)
    assert 'operation="healthz"' in told
    for name in re.findall(r"^# TYPE (\S+)", told, re.MULTILINE):
        assert f"<code>{name}</code>" in documented


def test_settings_come_from_variables(tmp_path: Path) -> None:
    with running_service(
        tmp_path / "log",
        "--workers",
        "1",
        CLOSEUP_CONTACT_URL="https://club.example/contact",
        CLOSEUP_SERVER_URL="https://club.example/sums",
        CLOSEUP_ALLOWED_ORIGINS="https://club.example",
    ) as port:
        document = requests.get(f"http://127.0.0.1:{port}/openapi.json", timeout=10).json()
    assert document["info"]["contact"]["url"] == "https://club.example/contact"
    assert document["servers"][0]["url"] == "https://club.example/sums"


@pytest.mark.parametrize(
    ("origin", "allowed"),
    [("https://club.example", "https://club.example"), ("https://evil.example", None), ("null", None)],
)
def test_with_a_list_of_origins_others_get_no_leave(tmp_path: Path, origin: str, allowed: str | None) -> None:
    with running_service(tmp_path / "log", "--workers", "1", "--allowed-origins", "https://club.example") as port:
        headers = requests.get(f"http://127.0.0.1:{port}/healthz", headers={"Origin": origin}, timeout=10).headers
    assert headers.get("Access-Control-Allow-Origin") == allowed
    assert "Origin" in headers["Vary"]


@pytest.mark.parametrize(
    ("path", "host", "status"),
    [
        ("/v1/cautions", "club.example", 200),
        ("/v1/cautions", "CLUB.example:8000", 200),
        ("/v1/cautions", "127.0.0.1", 200),
        ("/v1/cautions", "[::1]:8000", 200),
        ("/v1/cautions", "[::2]", 421),
        ("/v1/cautions", "evil.example", 421),
        ("/v1/cautions", "club.example.evil.example", 421),
        ("/", "evil.example", 421),
        ("/healthz", "10.0.0.7", 200),
        ("/readyz", "10.0.0.7", 200),
        ("/metrics", "closeup-a:8000", 200),
    ],
)
def test_with_a_list_of_names_others_are_refused_and_not_repeated(
    tmp_path: Path, path: str, host: str, status: int
) -> None:
    """F26"""
    with running_service(tmp_path / "log", "--workers", "1", "--allowed-hosts", "club.example, 127.0.0.1, ::1") as port:
        answer = requests.get(f"http://127.0.0.1:{port}{path}", headers={"Host": host}, timeout=10)
    assert answer.status_code == status
    assert "evil" not in answer.text + str(answer.headers)
    if status == 421:
        assert answer.json()["type"] == "/problems/misdirected-request"


def test_it_ends_when_told_to_and_leaves_nothing_behind(tmp_path: Path) -> None:
    port = free_port()
    with (tmp_path / "log").open("wb") as log:
        service = subprocess.Popen([COMMAND, "--port", str(port)], stdout=log, stderr=log, env=clean_environment())
    try:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            try:
                answer = requests.get(f"http://127.0.0.1:{port}/readyz", timeout=5)
                break
            except requests.ConnectionError:
                time.sleep(0.05)
        assert json.loads(answer.text) == {"status": "pass"}
    finally:
        service.send_signal(signal.SIGTERM)
    assert service.wait(30) == 0
    folders = (Path("/dev/shm"), Path(tempfile.gettempdir()))
    assert not [entry for folder in folders for entry in folder.glob(f"closeup-counts-{service.pid}-*")]


def test_ipv6_works_where_the_machine_has_it(tmp_path: Path) -> None:
    with socket.socket(socket.AF_INET6) as probe:
        try:
            probe.bind(("::1", 0))
        except OSError:
            pytest.skip("This machine has no IPv6 loopback.")
    port, log = free_port(), tmp_path / "log"
    with log.open("wb") as sink:
        command = [COMMAND, "--host", "::1", "--port", str(port), "--workers", "1"]
        service = subprocess.Popen(command, stdout=sink, stderr=sink, env=clean_environment())
    try:
        deadline = time.monotonic() + 60
        status = 0
        while status == 0 and time.monotonic() < deadline:
            try:
                status = requests.get(f"http://[::1]:{port}/healthz", timeout=5).status_code
            except requests.ConnectionError:
                time.sleep(0.05)
        assert status == 200
    finally:
        service.terminate()
        service.wait(30)
    assert messages_of(log)[0] == f"Serving at http://[::1]:{port}/"


def test_it_answers_on_after_a_worker_has_ended_and_been_replaced(tmp_path: Path) -> None:
    log = tmp_path / "log"
    with running_service(log, "--workers", "1") as port:
        first = booted(log)[0]
        os.kill(first, signal.SIGTERM)
        deadline = time.monotonic() + LONGEST_END_S
        while len(booted(log)) < 2 and time.monotonic() < deadline:
            time.sleep(0.05)
        assert booted(log)[1] != first
        for path in ("/privacy", "/metrics"):
            assert requests.get(f"http://127.0.0.1:{port}{path}", timeout=LONGEST_END_S).status_code == 200


def booted(log: Path) -> list[int]:
    """Process ids of the workers so far."""
    return [int(each) for each in re.findall(r"Booting worker with pid: (\d+)", log.read_text())]


def test_without_the_service_s_extra_the_command_says_how_to_install_it() -> None:
    script = "import sys; sys.modules['flask'] = None; from closeup_service.start import main; main()"
    ended = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=False)
    assert ended.returncode == 1
    assert (
        ended.stderr
        == "closeup-service: there is no flask here. In a clone of the repository: pip install '.[service]'\n"
    )
