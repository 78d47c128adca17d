"""The folder of the counts: gone with the service, or swept up by the next one where it was killed."""

import fcntl
import os
import signal
from pathlib import Path

import pytest
import requests

from closeup_service.running.counts_folder import MEMORY, PREFIX, counts_folder, sweep
from running_service import running_service, until
from service_copies import Copy

needs_memory = pytest.mark.skipif(not MEMORY.is_dir(), reason="This machine has no place in memory.")


def folders_of(copy: Copy) -> list[Path]:
    return list(MEMORY.glob(f"{PREFIX}{copy.pid}-*"))


@needs_memory
def test_what_a_killed_service_left_is_swept_up_by_the_next_one(tmp_path: Path) -> None:
    killed = Copy(tmp_path / "killed")
    killed.start()
    (left,) = folders_of(killed)
    for pid in (killed.pid, *killed.workers):
        os.kill(pid, signal.SIGSTOP)
    workers = killed.workers
    killed.end(signal.SIGKILL)
    with running_service(tmp_path / "while workers live", "--workers", "1"):
        assert left.is_dir()
    for pid in workers:
        os.kill(pid, signal.SIGKILL)
    assert until(lambda: is_free(left))
    with running_service(tmp_path / "next", "--workers", "1"):
        assert not left.exists()


def is_free(folder: Path) -> bool:
    """Whether nobody has locked a folder; the service of a test beside this one may have swept it up by now."""
    try:
        lock(folder)
    except BlockingIOError:
        return False
    except FileNotFoundError:
        pass
    return True


def lock(folder: Path, keep: bool = False) -> int:
    """Lock a folder for a moment, or until what is returned is closed."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    finally:
        if not keep:
            os.close(descriptor)
    return descriptor


@needs_memory
def test_a_start_leaves_the_counts_of_services_that_run(tmp_path: Path) -> None:
    running = Copy(tmp_path / "running")
    running.start()
    try:
        (folder,) = folders_of(running)
        with running_service(tmp_path / "another", "--workers", "1"):
            assert folder.is_dir()
        assert "closeup_workers 2.0" in requests.get(f"http://127.0.0.1:{running.port}/metrics", timeout=20).text
    finally:
        running.end()
    assert not folder.exists()


def test_only_named_folders_in_use_by_nobody_are_swept(tmp_path: Path) -> None:
    names = ("another", f"{PREFIX}1-left", f"{PREFIX}2-running")
    for name in names:
        (tmp_path / name).mkdir()
        (tmp_path / name / "counter_1.db").touch()
    (tmp_path / f"{PREFIX}4-just-made").mkdir()
    (tmp_path / f"{PREFIX}3-link").symlink_to(tmp_path / "another", target_is_directory=True)
    descriptor = lock(tmp_path / f"{PREFIX}2-running", keep=True)
    sweep(tmp_path)
    os.close(descriptor)
    kept = ["another", *(f"{PREFIX}{end}" for end in ("2-running", "3-link", "4-just-made"))]
    assert sorted(path.name for path in tmp_path.iterdir()) == kept
    assert (tmp_path / "another" / "counter_1.db").exists()


def test_a_folder_is_locked_as_long_as_it_is_in_use(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("closeup_service.running.counts_folder.MEMORY", tmp_path)
    with counts_folder() as folder:
        sweep(tmp_path)
        assert Path(folder).name.startswith(f"{PREFIX}{os.getpid()}-")
        assert list(Path(folder).iterdir()) == []
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_knows_no_locks_will_do(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def refuse(*_: object) -> None:
        raise OSError("no locks available")

    monkeypatch.setattr("closeup_service.running.counts_folder.MEMORY", tmp_path)
    monkeypatch.setattr(fcntl, "flock", refuse)
    with counts_folder() as folder:
        sweep(tmp_path)
        assert Path(folder).is_dir()
    assert list(tmp_path.iterdir()) == []
