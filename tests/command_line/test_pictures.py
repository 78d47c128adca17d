"""Drawings written to a file, by its ending."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from closeup_client import Client
from closeup_client.command_line.output import endings
from closeup_client.command_line.table import table
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import command_name, operations

Run = Callable[..., tuple[int, str, str]]
BAR = ("scale-bar", "--scale-px-per-mm", "500", "--image-width-px", "6000")


@pytest.mark.parametrize(
    ("name", "begins"), [("bar.svg", b"<svg "), ("BAR.SVG", b"<svg "), ("bar.png", b"\x89PNG\r\n\x1a\n")]
)
def test_the_ending_of_the_file_says_in_which_form(closeup: Run, tmp_path: Path, name: str, begins: bytes) -> None:
    path = tmp_path / name
    code, out, err = closeup(*BAR, "--output", str(path))
    assert (code, err) == (0, "")
    assert path.read_bytes().startswith(begins)
    assert "Length of the bar" in out


def test_the_file_is_what_the_client_gets_from_a_server(closeup: Run, tmp_path: Path, service_url: str) -> None:
    path = tmp_path / "bar.png"
    code, _, _ = closeup(*BAR, "--output", str(path), "--server", service_url)
    assert code == 0
    with Client(service_url) as client:
        assert path.read_bytes() == client.scale_bar_image("image/png", scale_px_per_mm=500, image_width_px=6000)


def test_a_drawing_is_not_printed_among_the_values(closeup: Run) -> None:
    _, out, _ = closeup(*BAR)
    assert "<svg" not in out
    assert "characters, see --json or --output" in out
    assert "<svg" in closeup(*BAR, "--json")[1]


@pytest.mark.parametrize("name", ["bar.gif", "bar", "bar.svg.txt"])
def test_an_ending_that_means_nothing_here_is_a_mistake(closeup: Run, tmp_path: Path, name: str) -> None:
    code, out, err = closeup(*BAR, "--output", str(tmp_path / name))
    assert (code, out) == (2, "")
    assert "should end in .svg or .png" in err
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_written_is_told(closeup: Run, tmp_path: Path) -> None:
    code, _, err = closeup(*BAR, "--output", str(tmp_path / "nowhere" / "bar.svg"))
    assert code == 2
    assert "cannot be written: No such file or directory." in err


def test_what_is_refused_writes_no_file(closeup: Run, tmp_path: Path) -> None:
    path = tmp_path / "bar.svg"
    code, _, err = closeup(*BAR, "--share", "2", "--output", str(path))
    assert code == 3
    assert "--share: Give a number from 0.02 to 0.9." in err
    assert not path.exists()


@pytest.mark.parametrize(
    "operation",
    [each for each in operations() if each.tag == "chart" and each.by_query == "document"],
    ids=lambda each: each.path,
)
def test_a_chart_is_written_and_its_rows_are_told(closeup: Run, tmp_path: Path, operation: Operation) -> None:
    document, path = tmp_path / "asked.json", tmp_path / "chart.svg"
    document.write_text(json.dumps(operation.examples[0].request), encoding="utf-8")
    code, out, err = closeup(command_name(operation.path), "--document", str(document), "--output", str(path))
    assert (code, err) == (0, "")
    assert path.read_bytes().startswith(b"<svg ")
    assert "Finding" in out


def test_a_stack_is_charted_by_its_options(closeup: Run, tmp_path: Path) -> None:
    path = tmp_path / "stack.svg"
    asked = ("--f-number", "8", "--magnification", "2:1", "--sensor", "36x24", "--subject-depth-mm", "1")
    code, out, _ = closeup("stack-chart", *asked, "--width-px", "500", "--output", str(path))
    assert code == 0
    assert b'width="500"' in path.read_bytes()
    assert "frames cover a depth of 1 mm" in out


def test_only_commands_with_drawings_take_output(closeup: Run) -> None:
    taking = {each.path for each in operations() if each.renderers and not each.takes_photographs}
    assert {each.path for each in table().operations if "--output" in closeup(*each.words, "--help")[1]} == taking


def test_every_media_type_of_an_operation_has_an_ending() -> None:
    for operation in operations():
        assert sorted(endings(tuple(operation.renderers)).values()) == sorted(operation.renderers)


@pytest.mark.parametrize(
    ("command", "name", "begins"),
    [("drawing", "a.svg", b"<svg "), ("frame-drawing", "a.svg", b"<svg "), ("sheet", "a.html", b"<!DOCTYPE html>")],
)
def test_a_set_up_in_the_short_form_is_drawn(
    closeup: Run, tmp_path: Path, command: str, name: str, begins: bytes
) -> None:
    more = ("--subject-width-mm", "8") if command == "frame-drawing" else ()
    train = "reversed 35mm p=1.3 plane=21 register=45.46 f/8 + tube 31"
    path = tmp_path / name
    code, out, _ = closeup(command, "--camera", "23.5x15.6 register=18", "--train", train, *more, "--output", str(path))
    assert code == 0
    assert path.read_bytes().startswith(begins)
    assert "Magnification" in out
