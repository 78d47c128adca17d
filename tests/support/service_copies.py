"""Copies of the real service that tests lose, stop and start again at the same port."""

import signal
import subprocess
import time
from pathlib import Path

from running_service import COMMAND, LONGEST_END_S, LONGEST_START_S, clean_environment, free_port, is_alive


class Copy:
    """One copy of the service, with two workers unless the options say otherwise."""

    def __init__(self, log: Path, *options: str) -> None:
        self.log = log
        self.options = options
        self.port = free_port()
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it, and wait until it answers."""
        line = [COMMAND, "--port", str(self.port), "--workers", "2", "--threads", "4", *self.options]
        with self.log.open("ab") as sink:
            self.process = subprocess.Popen(line, stdout=sink, stderr=sink, env=clean_environment())
        deadline = time.monotonic() + LONGEST_START_S
        while not is_alive(self.port):
            if self.process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"A copy did not start:\n{self.log.read_text()}")
            time.sleep(0.05)

    @property
    def pid(self) -> int:
        """Process id of the master."""
        assert self.process is not None
        return self.process.pid

    @property
    def workers(self) -> list[int]:
        """Process ids of its workers, which live no longer than their master."""
        listed = subprocess.run(["pgrep", "-P", str(self.pid)], capture_output=True, text=True, check=False)
        return [int(each) for each in listed.stdout.split()]

    def end(self, how: signal.Signals = signal.SIGTERM) -> None:
        """End it, and wait for its end."""
        if self.process is not None:
            self.process.send_signal(how)
            self.process.wait(LONGEST_END_S)
