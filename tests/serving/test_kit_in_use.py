"""Which kit is in use: told by the log and the metrics, at start and after each SIGHUP."""

import json
import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests

from kits import changed, sound
from log_lines import messages_of
from running_service import until
from service_copies import Copy


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    path = tmp_path / "kit.json"
    path.write_text(json.dumps(sound()), encoding="utf-8")
    return path


@pytest.fixture
def copy(tmp_path: Path, kit: Path) -> Iterator[Copy]:
    copy = Copy(tmp_path / "log", "--kit", str(kit))
    try:
        copy.start()
        yield copy
    finally:
        copy.end()


def replaced(path: Path, text: str) -> None:
    """Replace a file as editors do: by another one of its name."""
    other = path.with_name("kit.json.new")
    other.write_text(text, encoding="utf-8")
    other.rename(path)


def of_metrics(copy: Copy) -> list[tuple[str, str]]:
    text = requests.get(f"http://127.0.0.1:{copy.port}/metrics", timeout=20).text
    return re.findall(r'^closeup_kit_info\{origin="(\w+)",revision="(\w+)"\} 1\.0$', text, re.MULTILINE)


def revision(copy: Copy) -> str:
    found = requests.get(f"http://127.0.0.1:{copy.port}/v1/kit", timeout=20).json()
    assert isinstance(found["revision"], str)
    return found["revision"]


def of_log(copy: Copy) -> list[str]:
    return [each for each in messages_of(copy.log) if each.startswith("Kit: ")]


def reloaded(copy: Copy) -> None:
    """Send SIGHUP, and wait until no process is left that was there before."""
    before = set(copy.workers)
    os.kill(copy.pid, signal.SIGHUP)
    assert until(lambda: len(set(copy.workers)) == 2 and not before & set(copy.workers))


def test_the_kit_is_told_at_start_and_after_each_reload(copy: Copy, kit: Path) -> None:
    parts = requests.get(f"http://127.0.0.1:{copy.port}/v1/kit", timeout=20).json()["parts"]
    first = revision(copy)
    assert of_log(copy) == [f"Kit: {kit}, revision {first}, {parts} parts."]
    assert of_metrics(copy) == [("file", first)]
    replaced(kit, json.dumps(changed("/name", "Another kit")))
    reloaded(copy)
    second = revision(copy)
    assert second != first
    assert of_log(copy)[1:] == [f"Kit: {kit}, revision {second}, {parts} parts."]
    assert of_metrics(copy) == [("file", second)]
    replaced(kit, "{")
    reloaded(copy)
    assert len(of_log(copy)) == 2
    assert of_metrics(copy) == [("file", second)]


def test_without_a_file_the_demo_kit_is_told(tmp_path: Path) -> None:
    copy = Copy(tmp_path / "log")
    try:
        copy.start()
        (line,) = of_log(copy)
        assert line.startswith(f"Kit: the demo kit, revision {revision(copy)}, ")
        assert of_metrics(copy) == [("demo", revision(copy))]
    finally:
        copy.end()
