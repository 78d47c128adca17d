"""The command `closeup` run within the tests, and as a program of its own."""

import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import IO

import pytest

from closeup_client import cli, in_process
from ruler_pictures import draw
from running_service import clean_environment

in_process_service = cache(in_process.start_service)


@pytest.fixture(autouse=True)
def surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal 80 wide, no server set, and the service within this process built only once."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("CLOSEUP_CLIENT_SERVER", raising=False)
    monkeypatch.setattr(in_process, "start_service", in_process_service)


@pytest.fixture
def wide_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal in which every table has one line for each record."""
    monkeypatch.setenv("COLUMNS", "400")


@pytest.fixture
def closeup(capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str, str]]:
    """Run the command with these words; returns its exit code, what it printed, and what it complained of."""

    def run(*words: str) -> tuple[int, str, str]:
        code = cli.main(words)
        printed = capsys.readouterr()
        return code, printed.out, printed.err

    return run


@pytest.fixture
def photographs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The invented photographs of the examples, in the current folder."""
    draw(tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def program() -> Callable[..., subprocess.Popen[str]]:
    """Start the command as a program of its own."""

    def start(*words: str, output: int | IO[str] = subprocess.PIPE, **environment: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-m", "closeup_client.cli", *words],
            stdin=subprocess.PIPE,
            stdout=output,
            stderr=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            env=clean_environment(**environment),
        )

    return start
