"""Counts that cannot be written end no request and no process."""

import contextlib
import resource
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import requests

from closeup_service.operations.registry import operations
from log_lines import messages_of
from processes_of import children
from running_service import COMMAND, LONGEST_END_S, clean_environment, free_port, is_alive, until

SMALL_PLACE = "mount -t tmpfs -o size=9m tmpfs /dev/shm"
"""Room for what the start wants to find free, and little more."""
PATHS = [each.path for each in operations() if "GET" in each.methods]
ROUNDS = 3
MOST_FILE_BYTES = 70_000
"""A file of counts begins with less and then wants twice that; the log stays below."""


def can_mount() -> bool:
    """Whether a place in memory can be put over another, for one process alone."""
    return (
        subprocess.run(["unshare", "--mount", "sh", "-c", SMALL_PLACE], capture_output=True, check=False).returncode
        == 0
    )


@contextlib.contextmanager
def in_its_own_place(log: Path) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """Run the service with a small /dev/shm of its own where the machine permits."""
    port = free_port()
    command = [COMMAND, "--port", str(port), "--workers", "2", "--threads", "2"]
    if can_mount():
        command = ["unshare", "--mount", "sh", "-c", f'{SMALL_PLACE} && exec "$@"', "sh", *command]
    with log.open("wb") as sink:
        process = subprocess.Popen(command, stdout=sink, stderr=sink, env=clean_environment())
    try:
        assert until(lambda: is_alive(port)), log.read_text()
        yield process, port
    finally:
        process.terminate()
        process.wait(LONGEST_END_S)


def fill(process: subprocess.Popen[bytes]) -> None:
    """Leave no room in the service's own place in memory."""
    place = Path(f"/proc/{process.pid}/root/dev/shm/filling")
    with contextlib.suppress(OSError), place.open("wb", buffering=0) as sink:
        while sink.write(bytes(4096)) == 4096:
            pass


def limit_files(process: subprocess.Popen[bytes]) -> None:
    """Let no worker write a file that is longer than what its counts begin with."""
    for worker in children(process.pid):
        resource.prlimit(worker, resource.RLIMIT_FSIZE, (MOST_FILE_BYTES, MOST_FILE_BYTES))


WANTS = [
    pytest.param(
        fill, id="no room", marks=pytest.mark.skipif(not can_mount(), reason="This machine lets nobody mount.")
    ),
    pytest.param(limit_files, id="no longer files"),
]


@pytest.mark.parametrize("want", WANTS)
def test_counts_that_cannot_be_written_end_nothing(
    tmp_path: Path, want: Callable[[subprocess.Popen[bytes]], None]
) -> None:
    """F46"""
    log = tmp_path / "log"
    with in_its_own_place(log) as (process, port):
        assert until(lambda: len(children(process.pid)) == 2)
        first = children(process.pid)
        want(process)
        for path in PATHS * ROUNDS:
            assert requests.get(f"http://127.0.0.1:{port}{path}", timeout=LONGEST_END_S).status_code in (200, 422)
        assert requests.get(f"http://127.0.0.1:{port}/metrics", timeout=LONGEST_END_S).status_code == 200
        assert children(process.pid) == first
        told = [each for each in messages_of(log) if "no longer counts" in each]
        assert 1 <= len(told) <= len(first)
