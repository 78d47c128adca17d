"""The shipped proxy on free ports of the loopback interface, before copies of the service that already run."""

import os
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from running_service import LONGEST_END_S, LONGEST_START_S, free_port

SHIPPED = Path(__file__).parents[2] / "docker"
NGINX = shutil.which("nginx", path=os.environ.get("PATH", "") + ":/usr/sbin:/usr/local/sbin")
NO_NGINX = "NO NGINX HERE: the tests of tests/proxy were skipped. Debian's package nginx-light brings one."

Changes = Mapping[str, Mapping[str, str]]
"""For each file of the proxy, what stands there and what is to stand there instead."""


@dataclass(frozen=True, slots=True)
class Proxy:
    """A running proxy: its ports, its process and its log."""

    port: int
    port_within: int
    tls_port: int
    pid: int
    log: Path

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"


def changed(path: Path, changes: Mapping[str, str]) -> None:
    """Change a file; everything that is to be changed must be there."""
    text = path.read_text(encoding="utf-8")
    for old, new in changes.items():
        assert old in text, f"{path.name} has no {old!r}"
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


def laid_out(folder: Path, copies: Sequence[int], changes: Changes, certificate: Path | None) -> tuple[int, int, int]:
    """Copy the shipped files, with free ports and these copies of the service; return the ports."""
    shutil.copytree(SHIPPED / "nginx", folder / "proxy")
    settings = folder / "proxy" / "settings"
    port, within, tls = free_port(), free_port(), free_port()
    changed(settings / "listen.conf", {"8080": f"127.0.0.1:{port}"})
    changed(settings / "listen-within.conf", {"8081": str(within)})
    servers = " ".join(f"server 127.0.0.1:{each} max_fails=0;" for each in copies)
    here = f'upstream copies {{ {servers} }}\nmap "" $copies {{ default copies; }}\n'
    (settings / "copies.conf").write_text(here, encoding="utf-8")
    for name, differences in changes.items():
        changed(folder / "proxy" / name, differences)
    if certificate is not None:
        shutil.copytree(SHIPPED / "nginx-tls", folder / "tls")
        changed(folder / "tls" / "server.conf", {"8443": f"127.0.0.1:{tls}"})
        (folder / "certificate").symlink_to(certificate)
    return port, within, tls


def command(folder: Path) -> list[str]:
    """Start nginx as it is shipped; a superuser's workers stay superusers, to reach the folders of the tests."""
    assert NGINX is not None
    (folder / "run").mkdir()
    line = [NGINX, "-p", str(folder / "run"), "-c", str(folder / "proxy" / "nginx.conf"), "-e", "stderr"]
    return line + (["-g", "user root;"] if os.geteuid() == 0 else [])


@contextmanager
def running_proxy(
    folder: Path, copies: Sequence[int], changes: Changes | None = None, certificate: Path | None = None
) -> Iterator[Proxy]:
    """Run the proxy in a new folder; its log is what it writes to standard output and standard error."""
    folder.mkdir()
    port, within, tls = laid_out(folder, copies, changes or {}, certificate)
    log = folder / "log"
    with log.open("ab") as sink:
        process = subprocess.Popen(command(folder), stdout=sink, stderr=sink)
    try:
        deadline = time.monotonic() + LONGEST_START_S
        while not listens(port):
            if process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"The proxy did not start:\n{log.read_text()}")
            time.sleep(0.05)
        yield Proxy(port, within, tls, process.pid, log)
    finally:
        process.terminate()
        process.wait(LONGEST_END_S)


def listens(port: int) -> bool:
    """Whether anything listens there."""
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0
