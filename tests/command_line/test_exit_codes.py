"""How the command ends: with a code that scripts can tell apart, in words, and never with a traceback."""

import os
import signal
import socket
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from closeup_client.command_line import one_operation
from running_service import free_port

Run = Callable[..., tuple[int, str, str]]
Program = Callable[..., subprocess.Popen[str]]

SUM = ("effective-f-number", "--f-number", "8", "--magnification", "1.5")
MISTAKES = {
    "no command": (),
    "an unknown command": ("magnifcation",),
    "an unknown option": (*SUM, "--f-numbr", "8"),
    "a word that stands alone": (*SUM, "8"),
    "a value that is no number": ("effective-f-number", "--f-number", "eight", "--magnification", "1"),
    "an option without its value": (*SUM, "--pupil-magnification"),
    "an option left out that is needed": ("effective-f-number", "--f-number", "8"),
    "an address that is none": (*SUM, "--server", "nowhere"),
    "no time to wait": (*SUM, "--timeout", "0"),
    "a part that is none": ("evaluate", "--camera", "register=18", "--train", "35mm + tub 31"),
    "a document that is not there": ("evaluate", "--document", "/no/such/file.json"),
    "neither train nor document": ("evaluate",),
    "a train without a camera": ("evaluate", "--train", "35mm"),
    "a length open without a target": ("evaluate", "--camera", "register=18", "--train", "35mm + tube ?"),
    "a target without a length open": ("evaluate", "--camera", "register=18", "--train", "35mm", "--target", "2:1"),
    "two lengths open": ("evaluate", "--camera", "register=18", "--train", "tube ? + tube ?", "--target", "2:1"),
    "a target that is none": ("evaluate", "--camera", "register=18", "--train", "35mm + tube ?", "--target", "far"),
    "a shell that is none": ("completion", "tortoise"),
}


@pytest.mark.parametrize("words", MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_in_the_command_ends_with_2_and_says_so_on_standard_error(
    closeup: Run, words: tuple[str, ...]
) -> None:
    code, out, err = closeup(*words)
    assert (code, out) == (2, "")
    assert err.startswith(("closeup", "usage: closeup"))
    assert "Traceback" not in err


def test_what_is_done_ends_with_0(closeup: Run) -> None:
    code, out, err = closeup(*SUM)
    assert (code, err) == (0, "")
    assert out


def test_what_the_service_refuses_ends_with_3(closeup: Run) -> None:
    code, out, err = closeup("effective-f-number", "--f-number", "0.1", "--magnification", "1")
    assert (code, out) == (3, "")
    assert "--f-number: Give a number from 0.5 to 256." in err


def test_a_server_that_is_not_there_ends_with_4(closeup: Run) -> None:
    code, out, err = closeup(*SUM, "--server", f"http://127.0.0.1:{free_port()}")
    assert (code, out) == (4, "")
    assert "cannot be reached" in err


@contextmanager
def answering_socket(reply: bytes) -> Iterator[str]:
    """A socket that answers one request with these bytes, or with nothing at all."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        child = os.fork()
        if child == 0:
            connection, _ = server.accept()
            connection.recv(65536)
            connection.sendall(reply)
            connection.close() if reply else signal.pause()
            os._exit(0)
        try:
            yield f"http://127.0.0.1:{server.getsockname()[1]}"
        finally:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)


@pytest.mark.parametrize(
    "reply",
    [
        b"HTTP/1.1 200 OK\r\nContent-Length: 5\r\n\r\nhello",
        b"HTTP/1.1 503 Service Unavailable\r\nContent-Length: 0\r\n\r\n",
    ],
    ids=["no JSON", "a server that fails"],
)
def test_a_server_that_does_not_answer_as_the_service_does_ends_with_4(closeup: Run, reply: bytes) -> None:
    with answering_socket(reply) as address:
        code, out, err = closeup(*SUM, "--server", address)
    assert (code, out) == (4, "")
    assert err.startswith("closeup effective-f-number: ")


def test_a_server_that_keeps_silent_ends_with_4_after_the_time_given(closeup: Run) -> None:
    with answering_socket(b"") as address:
        code, _, err = closeup(*SUM, "--server", address, "--timeout", "0.2")
    assert code == 4
    assert "did not answer in time" in err


def test_the_server_comes_from_the_variable_where_no_option_names_one(
    closeup: Run, monkeypatch: pytest.MonkeyPatch, service_url: str
) -> None:
    monkeypatch.setenv("CLOSEUP_CLIENT_SERVER", f"http://127.0.0.1:{free_port()}")
    assert closeup(*SUM)[0] == 4
    assert closeup(*SUM, "--server", service_url)[0] == 0
    monkeypatch.setenv("CLOSEUP_CLIENT_SERVER", service_url)
    assert closeup(*SUM)[0] == 0


@contextmanager
def heeding_interrupts() -> Iterator[None]:
    """What is started here heeds an interrupt, even where the tests run in the background, which ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def test_an_interrupt_ends_with_130_quietly(program: Program) -> None:
    """The signal is sent once the request has come, so that the command is surely waiting for its answer."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(120)
        address = f"http://127.0.0.1:{server.getsockname()[1]}"
        with heeding_interrupts(), program(*SUM, "--server", address, "--timeout", "600") as started:
            try:
                connection, _ = server.accept()
                with connection:
                    connection.settimeout(120)
                    assert connection.recv(65536).startswith((b"GET ", b"POST "))
                    started.send_signal(signal.SIGINT)
                    out, err = started.communicate(timeout=120)
            finally:
                started.kill()
    assert (started.returncode, out, err) == (130, "", "")


def test_a_reader_that_goes_away_ends_it_quietly(program: Program) -> None:
    started = program("threads")
    assert started.stdout is not None
    assert started.stderr is not None
    assert started.stdin is not None
    started.stdout.close()
    complaint = started.stderr.read()
    started.stderr.close()
    started.stdin.close()
    assert started.wait(120) == 141
    assert complaint == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="This system has no device that is always full.")
def test_a_full_disk_is_said_as_such_and_ends_with_1(program: Program) -> None:
    with Path("/dev/full").open("w") as full:
        started = program("threads", output=full)
        _, err = started.communicate(timeout=120)
    assert (started.returncode, err) == (1, "closeup: the output cannot be written: No space left on device.\n")


def test_a_terminal_without_a_sign_shows_a_question_mark(program: Program) -> None:
    started = program("depth-of-field", "--help", PYTHONIOENCODING="ascii")
    out, err = started.communicate(timeout=120)
    assert (started.returncode, err) == (0, "")
    started = program(
        "evaluate", "--camera", "register=18", "--train", "50mm f/8 register=18 + tube 25", PYTHONIOENCODING="ascii"
    )
    out, err = started.communicate(timeout=120)
    assert (started.returncode, err) == (0, "")
    assert "?m" in out


def test_even_a_fault_of_its_own_is_one_line(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*args: object) -> None:
        raise RuntimeError("broken on purpose")

    monkeypatch.setattr(one_operation, "ask", fail)
    code, out, err = closeup(*SUM)
    assert (code, out) == (1, "")
    assert err == "closeup: this is a fault of ours: RuntimeError: broken on purpose\n"
