"""The studio's kit file at start, through the real command: read once, or a line for each fault."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
import requests

from closeup_client import Client, ServiceUnreachable
from kits import changed, sound
from running_service import COMMAND, clean_environment, free_port, running_service


def start(*options: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [COMMAND, "--port", str(free_port()), *options],
        capture_output=True,
        text=True,
        timeout=60,
        env=clean_environment(**environment),
        check=False,
    )


def written(path: Path, kit: Any) -> str:
    path.write_text(kit if isinstance(kit, str) else json.dumps(kit), encoding="utf-8")
    return str(path)


def test_the_running_service_lists_the_kit_of_the_file(tmp_path: Path) -> None:
    path = written(tmp_path / "kit.json", sound())
    with running_service(tmp_path / "log", "--workers", "2", CLOSEUP_KIT=path) as port:
        address = f"http://127.0.0.1:{port}/v1/kit"
        first = requests.get(address, timeout=10)
        tags = {requests.get(address, timeout=10).headers["ETag"] for _ in range(8)}
        written(tmp_path / "kit.json", changed("/name", "Another kit"))
        assert requests.get(address, timeout=10).json() == first.json()
    assert first.json()["origin"] == "file"
    assert first.json()["kit"]["name"] == sound()["name"]
    assert tags == {first.headers["ETag"]}
    with running_service(tmp_path / "log", "--workers", "1", "--kit", path) as port:
        later = requests.get(f"http://127.0.0.1:{port}/v1/kit", timeout=10).json()
    assert later["kit"]["name"] == "Another kit"
    assert later["revision"] != first.json()["revision"]


def test_every_fault_of_the_file_is_a_line_with_its_name_and_pointer(tmp_path: Path) -> None:
    kit = changed("/lenses/0/mount", "M43x1")
    kit["tubes"][0] |= {"length_mm": "long", "colour": "red"}
    kit["bellows"][0]["minimum_length_mm"] = 400
    path = written(tmp_path / "kit.json", kit)
    ended = start(CLOSEUP_KIT=path)
    assert ended.returncode == 78
    lines = ended.stderr.splitlines()
    assert len(lines) == 4
    assert all(line.startswith(f"closeup-service: CLOSEUP_KIT={path!r}: /") for line in lines)
    assert [line.split(": ")[2] for line in sorted(lines)] == [
        "/bellows/0/minimum_length_mm",
        "/lenses/0/mount",
        "/tubes/0/colour",
        "/tubes/0/length_mm",
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{\n  "name": "A kit",\n  "tubes": [,]\n}', "line 3"),
        ('{"name": "A kit", "name": "Two"}', "twice"),
        ('{"name": "A kit", "tubes": [], "price": NaN}', "NaN"),
        ("[1, 2]", "one JSON object"),
        ("", "Not JSON"),
        (" " * 2_100_000, "larger than 2 MiB"),
    ],
)
def test_what_cannot_be_read_is_one_line(tmp_path: Path, text: str, words: str) -> None:
    path = written(tmp_path / "kit.json", text)
    ended = start("--kit", path)
    assert ended.returncode == 78
    (line,) = ended.stderr.splitlines()
    assert line.startswith(f"closeup-service: --kit={path!r}: ")
    assert words in line


def test_a_kit_cannot_write_lines_of_its_own_into_the_log(tmp_path: Path) -> None:
    path = written(tmp_path / "kit.json", sound() | {"a\nb\x1b[31m": 1})
    ended = start("--kit", path)
    (line,) = ended.stderr.splitlines()
    assert "/a\\nb\\x1b[31m: Unknown" in line


def test_a_file_that_is_not_there_is_one_line(tmp_path: Path) -> None:
    for path in (tmp_path / "none.json", tmp_path):
        ended = start("--kit", str(path))
        assert ended.returncode == 78
        assert ended.stderr.count("\n") == 1


def test_the_option_wins_over_the_variable(tmp_path: Path) -> None:
    path = written(tmp_path / "kit.json", sound())
    with running_service(tmp_path / "log", "--workers", "1", "--kit", path, CLOSEUP_KIT="/nowhere.json") as port:
        assert requests.get(f"http://127.0.0.1:{port}/v1/kit", timeout=10).json()["origin"] == "file"


def test_a_client_in_process_has_the_kit_of_the_variable(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path / "kit.json", sound())
    monkeypatch.setenv("CLOSEUP_KIT", path)
    with Client.in_process() as client:
        assert client.kit().origin == "file"
    written(tmp_path / "kit.json", changed("/tubes/0/length_mm", -1))
    with pytest.raises(ServiceUnreachable, match="/tubes/0/length_mm"):
        Client.in_process()
