"""What a terminal shows while an answer takes long."""

from io import StringIO
from time import sleep
from types import SimpleNamespace

import pytest

from closeup_client.command_line import waiting


class Terminal(StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    shown = Terminal()
    monkeypatch.setattr(waiting, "sys", SimpleNamespace(stderr=shown))
    return shown


def test_a_long_wait_is_counted_and_cleared_away(terminal: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(waiting, "EVERY_S", 0.01)
    with waiting.waiting("search"):
        while "search: 3 s" not in terminal.getvalue():
            sleep(0.001)
    assert terminal.getvalue().endswith(waiting.CLEARED)


def test_what_comes_at_once_shows_nothing(terminal: Terminal) -> None:
    with waiting.waiting("search"):
        pass
    assert terminal.getvalue() == ""


def test_a_file_gets_no_such_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(waiting, "EVERY_S", 0.01)
    file = StringIO()
    monkeypatch.setattr(waiting, "sys", SimpleNamespace(stderr=file))
    with waiting.waiting("search"):
        sleep(0.05)
    assert file.getvalue() == ""


def test_a_failure_clears_the_line_too(terminal: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(waiting, "EVERY_S", 0.01)

    def interrupted() -> None:
        with waiting.waiting("search"):
            while not terminal.getvalue():
                sleep(0.001)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert terminal.getvalue().endswith(waiting.CLEARED)
