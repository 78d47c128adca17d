"""Scale bars of many photographs: one faulty picture never stops the rest."""

import csv
import io
import re
import struct
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from busy import busy_at_first
from closeup_client.command_line import asking
from closeup_client.command_line.scale_bars import command as scale_bars
from closeup_client.command_line.scale_bars.picture_size import picture_size
from photograph_files import pixels, saved, tiff

Run = Callable[..., tuple[int, str, str]]
HEADER = "file,specimen,ruler_file,tick_pitch_mm,magnification,sensor,locality\n"
pytestmark = pytest.mark.usefixtures("photographs")


def made(closeup: Run, table: str, *more: str) -> tuple[int, list[dict[str, str]], str, str]:
    """Exit code, rows of the results, and what was printed and complained of."""
    Path("specimens.csv").write_text(table, encoding="utf-8")
    code, out, err = closeup("scale-bars", "specimens.csv", "--photographs", ".", "--output", "bars", *more)
    path = Path("bars") / "scale-bars.csv"
    text = path.read_bytes().decode() if path.exists() else ""
    return code, list(csv.DictReader(io.StringIO(text, newline=""))), out, err


def test_every_photograph_gets_its_bar(closeup: Run) -> None:
    table = HEADER + (
        'ruler-f8.jpg,"Lichen, on oak",ruler.jpg,"0,5",,23.5x15.6,saltmarsh\n'
        "ruler-f4.jpg,seed,,0.5mm,,,dune\n"
        "ruler.jpg,seed,,,1.5:1,23.5x15.6,dune\n"
    )
    code, rows, out, err = made(closeup, table)
    assert (code, err) == (0, "")
    assert "3 of 3 scale bars written to bars" in out
    assert [row["problem"] for row in rows] == ["", "", ""]
    assert [row["specimen"] for row in rows] == ["Lichen, on oak", "seed", "seed"]
    assert [row["locality"] for row in rows] == ["saltmarsh", "dune", "dune"]
    assert float(rows[0]["scale_px_per_mm"]) == pytest.approx(100, rel=0.002)
    assert float(rows[0]["magnification"]) == pytest.approx(100 * 23.5 / 1500, rel=0.002)
    assert float(rows[2]["scale_px_per_mm"]) == pytest.approx(1.5 * 1500 / 23.5)
    assert rows[1]["magnification"] == ""
    assert "scale measured" in rows[0]["caption"]
    assert "scale computed" in rows[2]["caption"]
    for row in rows:
        drawn = (Path("bars") / row["bar_file"]).read_text(encoding="utf-8")
        width = re.search(r'class="bar" x="[^"]*" y="[^"]*" width="([^"]*)"', drawn)
        assert width is not None
        assert float(width[1]) == pytest.approx(float(row["bar_px"]))
    assert len({row["bar_file"] for row in rows}) == 3


def test_an_upright_photograph_has_the_sensors_width_along_its_longer_side(closeup: Run) -> None:
    """1.5 x 1500 pixels / 23.5 mm, however the camera was held; a width that the row states is taken as it is."""
    turned = Image.Exif()
    turned[0x0112] = 6
    Image.new("L", (1000, 1500), 99).save("upright.jpg")
    Image.new("L", (1500, 1000), 99).save("turned.jpg", exif=turned)
    Image.new("L", (1500, 1000), 99).save("lying.jpg")
    table = "file,magnification,sensor,pixel_pitch_um,cropped_width_px,image_width_px\n" + (
        "lying.jpg,1.5,23.5x15.6,,,\n"
        "upright.jpg,1.5,23.5x15.6,,,\n"
        "turned.jpg,1.5:1,23.5x15.6,,500,\n"
        "upright.jpg,1.5,,15.6666666667,,\n"
        "upright.jpg,1.5,23.5x15.6,,,1000\n"
    )
    code, rows, _, _ = made(closeup, table)
    assert code == 0
    scale = 1.5 * 1500 / 23.5
    expected = [scale, scale, scale, scale, 1.5 * 1000 / 23.5]
    assert [float(row["scale_px_per_mm"]) for row in rows] == pytest.approx(expected)
    assert [float(row["magnification"]) for row in rows] == [1.5] * 5
    assert all("scale computed" in row["caption"] for row in rows)


def test_one_faulty_picture_never_stops_the_rest(closeup: Run) -> None:
    Path("short.jpg").write_bytes(Path("ruler.jpg").read_bytes()[:20000])
    Image.new("L", (400, 300), 99).save("plain.png")
    Image.fromarray(np.zeros((300, 400), np.uint8)).save("other.png")
    table = HEADER + (
        "nowhere.jpg,,,0.5,,,\n"
        "short.jpg,,,0.5,,,\n"
        "specimens.csv,,,0.5,,,\n"
        "plain.png,,,0.5,,,\n"
        "other.png,,ruler.jpg,0.5,,,\n"
        "ruler.jpg,,,half,,,\n"
        "ruler.jpg,,ruler.jpg,,,,\n"
        "ruler.jpg,,,,,,\n"
        ",moss,,0.5,,,\n"
        "ruler.jpg,,,0.5,,,,too,many\n"
        "ruler.jpg,,,99999,,,\n"
        "ruler.jpg,last,,0.5,,,\n"
    )
    code, rows, out, _ = made(closeup, table)
    assert code == 1
    assert "1 of 12 scale bars" in out
    said = [row["problem"] for row in rows]
    for problem, words in zip(
        said,
        [
            "nowhere.jpg cannot be read",
            "damaged or cut short",
            "no JPEG, PNG or TIFF",
            "No scale is found",
            "ruler.jpg has 1500 x 1000 pixels, other.png 400 x 300",
            "tick_pitch_mm: 'half' is not a number",
            "ruler_file needs tick_pitch_mm",
            "Give exactly one of: magnification",
            "The column file is blank",
            "more cells than there are columns",
            "tick_pitch_mm: Give a number from 0.0001 to 1000 mm.",
            "",
        ],
        strict=True,
    ):
        assert words in problem
        assert "\n" not in problem
    assert [bool(row["bar_file"]) for row in rows] == [False] * 11 + [True]
    assert [path.name for path in Path("bars").glob("*.svg")] == ["012-ruler.svg"]


def test_a_ruler_is_read_once_for_many_photographs(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    ask_by = asking.ask_by

    def counted(transport: Any, operation: Any, *rest: Any) -> Any:
        asked.append(operation.name)
        return ask_by(transport, operation, *rest)

    monkeypatch.setattr(scale_bars, "ask_by", counted)
    rows = "".join(f"{name},,ruler.jpg,0.5,,,\n" for name in ("ruler-f8.jpg", "ruler-f4.jpg", "ruler.jpg"))
    assert made(closeup, HEADER + rows)[0] == 0
    assert asked == ["scale-reading photo", "scale-bar", "scale-bar", "scale-bar"]


def test_a_busy_service_is_asked_again(closeup: Run, service_url: str) -> None:
    with busy_at_first(service_url, "0", "0") as (url, asked):
        assert made(closeup, HEADER + "ruler.jpg,,,0.5,,,\n", "--server", url)[0] == 0
    assert asked == ["/v1/scale-reading/photo"] * 3 + ["/v1/scale-bar"]


def test_one_who_does_not_wait_is_told_that_the_service_is_busy(closeup: Run, service_url: str) -> None:
    with busy_at_first(service_url, "1") as (url, asked):
        command = ("scale-reading", "photo", "ruler.jpg", "--tick-pitch-mm", "0.5", "--server", url)
        code, _, err = closeup(*command, "--busy-wait", "0")
        assert (code, len(asked)) == (4, 1)
        assert "closeup scale-reading photo: refused." in err
        assert closeup(*command)[0] == 0


@pytest.mark.parametrize("wait", ["-1", "soon"])
def test_a_wait_that_is_none_is_a_mistake(closeup: Run, wait: str) -> None:
    assert closeup("scale-reading", "photo", "ruler.jpg", "--tick-pitch-mm", "0.5", f"--busy-wait={wait}")[0] == 2


def test_a_server_does_the_same_as_the_service_in_process(closeup: Run, service_url: str) -> None:
    table = HEADER + "ruler.jpg,,,0.5,,,\n"
    assert made(closeup, table)[1] == made(closeup, table, "--server", service_url)[1]


def test_a_server_that_is_not_there_is_each_rows_problem(closeup: Run) -> None:
    code, rows, _, _ = made(closeup, HEADER + "ruler.jpg,,,0.5,,,\n" * 2, "--server", "http://127.0.0.1:9")
    assert code == 1
    assert all("cannot be reached" in row["problem"] for row in rows)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_separators_of_other_places_are_read(closeup: Run, separator: str, mark: str) -> None:
    table = mark + separator.join(["file", "tick_pitch_mm", "bar_length_um"]) + "\r\n"
    _, rows, _, err = made(closeup, table + separator.join(["ruler.jpg", '"0,5"', "2500"]) + "\r\n\r\n")
    assert err == ""
    assert [float(row["bar_length_um"]) for row in rows] == [2500]


def test_a_column_that_may_be_misspelt_is_told(closeup: Run) -> None:
    code, _, _, err = made(closeup, "file,tick_pitch_mm,pixel_pich_um\nruler.jpg,0.5,\n")
    assert code == 0
    assert "the column 'pixel_pich_um' is not used; did you mean 'pixel_pitch_um'?" in err


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("", "has no column 'file'"),
        ("name,tick_pitch_mm\na.jpg,1\n", "has no column 'file'"),
        ("file,file\na.jpg,1\n", "names the column 'file' twice"),
        ("file,tick_pitch_mm\n", "holds no row"),
    ],
)
def test_a_table_of_no_use_is_a_mistake(closeup: Run, table: str, said: str) -> None:
    code, rows, out, err = made(closeup, table)
    assert (code, rows, out) == (2, [], "")
    assert said in err


def test_folders_and_files_that_are_not_there_are_mistakes(closeup: Run, photographs: Path) -> None:
    (photographs / "s.csv").write_text("file,tick_pitch_mm\nruler.jpg,0.5\n", encoding="utf-8")
    (photographs / "latin.csv").write_bytes(b"file\n\xff.jpg\n")
    for words, said in (
        (("none.csv", "--photographs", ".", "--output", "bars"), "none.csv cannot be read"),
        (("latin.csv", "--photographs", ".", "--output", "bars"), "not in UTF-8"),
        (("s.csv", "--photographs", "nowhere", "--output", "bars"), "--photographs: nowhere is no folder."),
        (("s.csv", "--photographs", ".", "--output", "s.csv"), "--output: s.csv cannot be made"),
        (("s.csv", "--photographs", "."), "--output"),
        (("s.csv", "--photographs", ".", "--output", "bars", "--photograf", "a"), "did you mean --photographs?"),
    ):
        code, _, err = closeup("scale-bars", *words)
        assert code == 2
        assert said in err


def test_progress_is_shown_to_a_person_alone(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    table = HEADER + "nowhere.jpg,,,0.5,,,\nruler.jpg,,,0.5,,,\n"
    assert "of 2" not in made(closeup, table)[3]

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    made(closeup, table)
    assert "1 of 2  nowhere.jpg" in terminal.getvalue()
    assert "2 of 2  ruler.jpg" in terminal.getvalue()


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF"])
@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_the_size_is_that_of_the_picture_as_seen(form: str, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    expected = (120, 150) if orientation >= 5 else (150, 120)
    assert picture_size(saved(pixels(), form, exif=exif)) == expected


@pytest.mark.parametrize("order", ["<", ">"])
def test_the_size_of_a_deep_tiff_is_read(order: str) -> None:
    assert picture_size(tiff([pixels(16).tobytes()], 150, 120, order)) == (150, 120)


def test_the_size_of_what_is_no_picture_is_not_known() -> None:
    whole = saved(pixels(), "JPEG")
    for content in (
        b"",
        b"file,specimen\n",
        b"\x89PNG\r\n\x1a\n",
        b"II*\x00",
        b"\xff\xd8",
        *(whole[:n] for n in range(150)),
    ):
        assert picture_size(content) is None
    assert picture_size(b"II*\x00" + struct.pack("<I", 2**31)) is None
