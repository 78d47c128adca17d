"""Firefox as tests drive it: by WebDriver BiDi, which it speaks itself over a web socket."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

from running_proxy import listens
from running_service import LONGEST_END_S, clean_environment, free_port, until

FIREFOX = next(filter(None, map(shutil.which, ("firefox-esr", "firefox"))), None)
NO_FIREFOX = "NO FIREFOX HERE: tests/browser/test_firefox.py was skipped. Debian's package firefox-esr brings one."
LONGEST_WAIT_S = 60.0
QUIET = {
    "app.normandy.enabled": False,
    "app.update.disabledForTesting": True,
    "browser.safebrowsing.malware.enabled": False,
    "browser.safebrowsing.phishing.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "extensions.update.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,",
    "toolkit.telemetry.enabled": False,
}
"""Preferences with which it asks nobody for anything of its own."""


@dataclass
class Firefox:
    """One window of a running Firefox, and what its console complained of."""

    connection: ClientConnection
    context: str = ""
    complaints: list[str] = field(default_factory=list)
    numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def ask(self, method: str, **parameters: object) -> dict[str, Any]:
        """Send a command and wait for what comes of it; what the console says meanwhile is noted."""
        number = next(self.numbers)
        self.connection.send(json.dumps({"id": number, "method": method, "params": parameters}))
        while True:
            told = json.loads(self.connection.recv(LONGEST_WAIT_S))
            if told.get("method") == "log.entryAdded":
                self.note(told["params"])
            if told.get("id") == number:
                assert told["type"] == "success", told
                found: dict[str, Any] = told["result"]
                return found

    def note(self, entry: dict[str, Any]) -> None:
        if entry["level"] in ("error", "warn"):
            self.complaints.append(f"{entry['level']}: {entry['text']}")

    def begin(self) -> None:
        """Begin a session in a new window."""
        self.ask("session.new", capabilities={})
        self.ask("session.subscribe", events=["log.entryAdded"])
        self.context = self.ask("browsingContext.create", type="window")["context"]

    def open(self, address: str) -> None:
        self.ask("browsingContext.navigate", context=self.context, url=address, wait="complete")

    def resize(self, width: int) -> None:
        self.ask("browsingContext.setViewport", context=self.context, viewport={"width": width, "height": 800})

    def evaluate(self, expression: str) -> Any:
        """Value of an expression of JavaScript in the page: a text, a number, or whether something is so."""
        target = {"context": self.context}
        told = self.ask("script.evaluate", expression=expression, target=target, awaitPromise=True)
        assert told["type"] == "success", told
        return told["result"].get("value")

    def press(self, *keys: str) -> None:
        """Press and release keys one after the other."""
        actions = [{"type": kind, "value": key} for key in keys for kind in ("keyDown", "keyUp")]
        source = {"type": "key", "id": "keyboard", "actions": actions}
        self.ask("input.performActions", context=self.context, actions=[source])


@contextmanager
def running_firefox(folder: Path) -> Iterator[Firefox]:
    """Run Firefox without a window, with a profile of its own."""
    assert FIREFOX is not None
    port = free_port()
    lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in QUIET.items()]
    (folder / "user.js").write_text("".join(lines), encoding="utf-8")
    options = ("--headless", "--no-remote", "--profile", str(folder), "--remote-debugging-port", str(port))
    with (folder / "log").open("wb") as sink:
        process = subprocess.Popen(
            [FIREFOX, *options], stdout=sink, stderr=sink, env=clean_environment(HOME=str(folder))
        )
    try:
        assert until(lambda: listens(port), LONGEST_WAIT_S), (folder / "log").read_text()
        with connect(f"ws://127.0.0.1:{port}/session", max_size=None, proxy=None) as connection:
            firefox = Firefox(connection)
            firefox.begin()
            yield firefox
    finally:
        process.terminate()
        process.wait(LONGEST_END_S)
