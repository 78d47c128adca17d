"""Processes of a running service, and what they hold."""

from pathlib import Path


def children(parent: int) -> list[int]:
    """Processes that a process has started."""
    return [int(each) for each in Path(f"/proc/{parent}/task/{parent}/children").read_text().split()]


def memory_of(process: int) -> int:
    """Bytes in memory of a process's own, without what the system keeps of files."""
    lines = Path(f"/proc/{process}/status").read_text().splitlines()
    return 1024 * next(int(line.split()[1]) for line in lines if line.startswith("RssAnon"))


def descriptors_of(process: int) -> int:
    """Files and sockets that a process has open."""
    return len(list(Path(f"/proc/{process}/fd").iterdir()))
