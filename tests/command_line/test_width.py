"""What is printed for people fits the terminal: tables of any number of columns, long values, every documented command."""

import io
import json
import shlex
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_client.command_line.columns import GAP, Column, laid_out
from closeup_service.operations.operation import Example, Operation
from documented_forms import forms

Run = Callable[..., tuple[int, str, str]]
WIDTH = 100
END = " <<'END'"
FOUND = ("search", "--subject-width-mm", "12", "--camera", "use=field-camera", "--subject-depth-mm", "1")


@pytest.mark.parametrize(("operation", "example", "text"), forms("command"))
def test_every_documented_command_prints_within_the_terminal(
    closeup: Run,
    photographs: Path,
    operation: Operation,
    example: Example | None,
    text: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    line, _, document = text.partition("\n")
    monkeypatch.setattr(sys, "stdin", io.StringIO(document.removesuffix("\nEND")))
    _, out, _ = closeup(*shlex.split(line.removesuffix(END))[1:])
    printed_for_programs = operation.operation_id == "tabulateSetUp"
    assert printed_for_programs or [line for line in out.splitlines() if len(line) > WIDTH] == []


@pytest.mark.parametrize("command", [("kit",), ("sensors",), ("mounts",), ("threads",), FOUND])
@pytest.mark.parametrize("width", [WIDTH, 80])
def test_long_listings_fit_and_lose_nothing(
    closeup: Run, monkeypatch: pytest.MonkeyPatch, command: tuple[str, ...], width: int
) -> None:
    monkeypatch.setenv("COLUMNS", "1000")
    _, wide, _ = closeup(*command)
    monkeypatch.setenv("COLUMNS", str(width))
    _, out, _ = closeup(*command)
    assert max(map(len, out.splitlines())) <= width < max(map(len, wide.splitlines()))
    assert set(wide.split()) <= set(out.split())


def test_each_set_up_of_a_search_keeps_its_number_in_every_band(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    _, out, _ = closeup(*FOUND, "--best", "3")
    best = out[out.index("Best by score") : out.index("Set-ups that none")]
    rows = [line.split()[0] for line in best.splitlines() if line[:3].strip().isdigit()]
    assert rows == ["1", "2", "3"] * 2


def test_a_listing_on_record_repeats_the_ids(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    _, out, _ = closeup("kit")
    lenses = out[out.index("Kit: lenses") : out.index("Kit: tubes")]
    assert sum(line.startswith("wide-35 ") for line in lenses.splitlines()) == 2


def test_data_for_programs_know_no_width(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    narrow = closeup("sensors", "--json")[1]
    monkeypatch.setenv("COLUMNS", "1000")
    assert narrow == closeup("sensors", "--json")[1]
    assert json.loads(narrow)["records"]


def test_what_fits_keeps_one_line_for_each_record() -> None:
    columns = [Column("id", ["a", "bb"], is_key=True), Column("length mm", ["1.5", "20"], is_number=True)]
    assert laid_out(columns, 13) == "id  length mm\na         1.5\nbb         20"


words = st.text("abcdef-", min_size=1, max_size=9)
texts = st.lists(words, min_size=1, max_size=6).map(" ".join)


@st.composite
def tables(draw: st.DrawFn) -> list[Column]:
    count = draw(st.integers(1, 4))
    numbers = st.integers(0, 99999).map(str)
    kinds = draw(st.lists(st.booleans(), min_size=1, max_size=12))
    return [
        Column(draw(texts), draw(st.lists(numbers if kind else texts, min_size=count, max_size=count)), is_number=kind)
        for kind in kinds
    ]


@given(tables(), st.integers(40, 160))
def test_any_table_fits_and_every_cell_can_be_read(table: list[Column], width: int) -> None:
    out = laid_out(table, width)
    assert max(map(len, out.splitlines())) <= width
    told = out.split()
    for column in table:
        for text in (column.heading, *column.cells):
            assert set(text.split()) <= set(told)
    assert GAP in out or len(table) == 1
