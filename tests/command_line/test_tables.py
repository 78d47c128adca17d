"""`closeup table`: from CSV to CSV."""

import csv
import io
import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import requests

from closeup_client.command_line import tables

Run = Callable[..., tuple[int, str, str]]

CAMERA = ("--camera", "23.5x15.6", "register=18", "blur=0.03")
TRAIN = ("--train", "reversed 35mm f/8 p=1.3 plane=21 register=45.46 + bellows ?")
FIELDS = ("--fields", "magnification", "depth_of_field.rear_extent")


@pytest.fixture
def table(closeup: Run, tmp_path: Path) -> Callable[..., tuple[int, str, str]]:
    def run(text: str, *words: str) -> tuple[int, str, str]:
        path = tmp_path / "columns.csv"
        path.write_text(text, encoding="utf-8")
        return closeup("table", *CAMERA, *TRAIN, *FIELDS, "--csv", str(path), *words)

    return run


def cells(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text)))


def test_columns_go_in_by_bare_name_or_pointer_and_come_out_by_pointer(table: Run) -> None:
    code, out, notes = table("f_number,/train/1/length_mm\n8,31\nf/5.6,60\n")
    assert code == 0
    header, first, second = cells(out)
    assert header == ["/train/0/f_number", "/train/1/length_mm", *FIELDS[1:], "problem"]
    assert first[:2] == ["8.0", "31.0"]
    assert float(first[2]) == pytest.approx(1.0)
    assert second[0] == "5.6"
    assert second[3:] == ["finite", ""]
    assert "Cautions" in notes


@pytest.mark.parametrize("heading", ["f-number", "f_number", "/train/0/f_number"])
def test_a_column_may_be_named_as_an_option_is(table: Run, heading: str) -> None:
    """The length of a train without its unit is the length in mm, as in the short form."""
    code, out, _ = table(f"{heading},length\n8,31\n")
    assert code == 0
    assert cells(out)[0][:2] == ["/train/0/f_number", "/train/1/length_mm"]


def test_semicolons_part_the_cells_where_commas_are_decimal(table: Run) -> None:
    code, out, _ = table("f_number;length_mm\n5,6;31,5\n")
    assert code == 0
    assert cells(out)[1][:2] == ["5.6", "31.5"]


def test_json_prints_the_answer_as_the_service_gives_it(table: Run) -> None:
    code, out, _ = table("length_mm\n31\n", "--json")
    assert code == 0
    assert json.loads(out)["rows"] == 1


def test_standard_input_is_read(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("length_mm\n31\n40\n"))
    code, out, _ = closeup("table", *CAMERA, *TRAIN, *FIELDS, "--csv", "-")
    assert code == 0
    assert len(cells(out)) == 3


def test_a_table_longer_than_a_block_comes_out_whole(table: Run) -> None:
    rows = 10_003
    code, out, notes = table("length_mm\n" + "".join(f"{20 + index / 1000}\n" for index in range(rows)))
    assert code == 0
    found = cells(out)
    assert [float(row[0]) for row in found[1:]] == [20 + index / 1000 for index in range(rows)]
    assert all(row[1] for row in found)
    assert "#" not in notes


@pytest.mark.parametrize("rows", [2, 10_003])
def test_a_table_of_any_length_is_written_to_a_file(table: Run, tmp_path: Path, rows: int) -> None:
    path = tmp_path / "out.csv"
    code, out, _ = table(
        "length_mm\n" + "".join(f"{20 + index / 1000}\n" for index in range(rows)), "--output", str(path)
    )
    assert code == 0
    assert path.read_bytes().decode() == out.replace("\n", "\r\n")
    assert len(cells(out)) == rows + 1


def test_a_table_in_a_file_is_what_the_service_writes(table: Run, tmp_path: Path, service_url: str) -> None:
    path = tmp_path / "out.csv"
    assert table("f_number,length_mm\n8,31\n", "--output", str(path), "--server", service_url)[0] == 0
    document = {
        "camera": {"sensor": "23.5x15.6", "register_mm": 18, "circle_of_confusion_mm": 0.03},
        "train": [
            {
                "element": "lens",
                "reversed": True,
                "focal_length_mm": 35,
                "pupil_magnification": 1.3,
                "front_principal_plane_mm": 21,
                "register_mm": 45.46,
                "f_number": 8,
            },
            {"element": "spacer"},
        ],
        "columns": {"/train/0/f_number": [8], "/train/1/length_mm": [31]},
        "fields": list(FIELDS[1:]),
    }
    told = requests.post(f"{service_url}/v1/set-ups/table", json=document, headers={"Accept": "text/csv"}, timeout=20)
    assert path.read_bytes() == told.content


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "it is empty"),
        ("register_mm\n18\n", "/camera/register_mm or /train/0/register_mm"),
        ("f_numbr\n8\n", "no number of this set-up; did you mean f_number?"),
        ("dioptres\n8\n", "no number of this set-up; there are /print_width_mm, "),
        ("f_number,length_mm\n8\n", "line 2 has 1 cells"),
        ("f_number\n8\neight\n", "line 3, f_number"),
        ("f_number\nnan\n", "line 2, f_number"),
        ("f_number,/train/0/f_number\n8,8\n", "the same member"),
    ],
)
def test_mistakes_in_the_file_are_told_by_line_and_name(table: Run, text: str, words: str) -> None:
    code, _, complaint = table(text)
    assert code == 2
    assert words in complaint


def test_columns_are_given_one_by_one(closeup: Run) -> None:
    columns = ("--column", "f_number", "5.6", "f/8", "--column", "/train/1/length_mm", "31", "40")
    code, out, _ = closeup("table", *CAMERA, *TRAIN, *FIELDS, *columns)
    assert code == 0
    assert [row[:2] for row in cells(out)[1:]] == [["5.6", "31.0"], ["8.0", "40.0"]]


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        (("--column", "f_number", "8", "--column", "f_number", "8"), "given twice"),
        (("--column", "f_number", "eight"), "--column f_number"),
        (("--column", "f_number", "8", "--csv", "columns.csv"), "one of the two"),
    ],
)
def test_mistakes_in_columns_are_told(closeup: Run, columns: tuple[str, ...], words: str) -> None:
    code, _, complaint = closeup("table", *CAMERA, *TRAIN, *FIELDS, *columns)
    assert code == 2
    assert words in complaint


def test_a_file_that_is_not_there_is_told(closeup: Run) -> None:
    code, _, complaint = closeup("table", *CAMERA, *TRAIN, *FIELDS, "--csv", "no-such-file.csv")
    assert code == 2
    assert "no-such-file.csv cannot be read" in complaint


def test_values_out_of_bounds_are_refused_by_the_service(table: Run) -> None:
    code, _, complaint = table("f_number\n8\n0.1\n")
    assert code == 3
    assert "0.5 to 256" in complaint


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_long_table_shows_on_a_terminal_how_far_it_is() -> None:
    terminal = Terminal()
    tell = tables.progress(4, terminal)
    for done in range(5):
        tell(done)
    assert "1 of 4 blocks" in terminal.getvalue()
    assert terminal.getvalue().endswith(f"[{'#' * tables.BAR}] 4 of 4 blocks\n")


@pytest.mark.parametrize(("blocks", "terminal"), [(1, Terminal()), (4, io.StringIO())])
def test_short_tables_and_files_show_nothing(blocks: int, terminal: io.StringIO) -> None:
    tables.progress(blocks, terminal)(0)
    assert terminal.getvalue() == ""


def test_settings_of_a_lens_of_the_kit_stand_in_a_column(closeup: Run, tmp_path: Path) -> None:
    path = tmp_path / "columns.csv"
    path.write_text("/train/0/setting,/train/0/f_number\nat-24,8\nat-60,11\nat-70,8\n", encoding="utf-8")
    parts = ("--camera", "use=field-camera", "--train", "kit zoom-24-60 + kit tube-16", "--fields", "magnification")
    code, out, notes = closeup("table", *parts, "--csv", str(path))
    assert code == 0
    header, first, second, third = cells(out)
    assert header == ["/train/0/setting", "/train/0/f_number", "magnification", "problem"]
    assert [first[0], second[0], third[0]] == ["at-24", "at-60", "at-70"]
    assert float(first[2]) > float(second[2])
    assert third[2:] == ["", "invalid-fields"]
    assert "at-24, at-35, at-60" in notes
