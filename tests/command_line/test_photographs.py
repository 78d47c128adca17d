"""Photographs on the command line: two words for a command, files without an option, the overlay in a file."""

import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from closeup_client import Client

Run = Callable[..., tuple[int, str, str]]
PHOTO = ("scale-reading", "photo", "ruler.jpg", "--tick-pitch-mm", "0.5mm")
COMPARISON = ("scale-reading", "comparison", "ruler-f8.jpg", "ruler-f4.jpg", "--tick-pitch-mm", "0,5")

pytestmark = pytest.mark.usefixtures("photographs")


def test_a_photograph_is_read(closeup: Run) -> None:
    code, out, err = closeup(*PHOTO, "--sensor", "23.5x15.6")
    assert (code, err) == (0, "")
    assert "1.57 (1.57:1)" in out
    assert "middle-right" in out
    assert "Overlay" not in out


def test_the_command_of_one_word_goes_on_working(closeup: Run) -> None:
    code, out, _ = closeup(
        "scale-reading", "--first-mark-mm", "20.2", "--last-mark-mm", "35.2", "--sensor", "23.5x15.6"
    )
    assert code == 0
    assert "1.57:1" in out


def test_photographs_are_compared(closeup: Run) -> None:
    code, out, err = closeup(*COMPARISON)
    assert (code, err) == (0, "")
    assert "Best frame  1" in out
    row = next(line for line in out.splitlines() if line.startswith("middle-left"))
    assert row.split()[1] == "1"
    assert "None" not in out


def test_the_overlay_is_written_where_asked(closeup: Run, photographs: Path) -> None:
    code, out, err = closeup(*PHOTO, "--overlay", "seen.png")
    assert (code, err) == (0, "")
    assert Image.open(io.BytesIO((photographs / "seen.png").read_bytes())).format == "PNG"
    assert "Scale of the picture" in out


def test_the_overlay_is_what_the_client_gets_from_a_server(closeup: Run, photographs: Path, service_url: str) -> None:
    assert closeup(*PHOTO, "--overlay", "seen.png", "--server", service_url)[0] == 0
    with Client(service_url) as client:
        answer = client.scale_reading_photo("ruler.jpg", tick_pitch_mm=0.5, overlay=True)
    assert (photographs / "seen.png").read_bytes() == answer.overlay


def test_json_is_what_the_service_answers(closeup: Run) -> None:
    code, out, _ = closeup(*PHOTO, "--json")
    assert code == 0
    assert json.loads(out)["overlay"] is None


@pytest.mark.parametrize("path", ["seen.jpg", "seen"])
def test_an_overlay_of_another_form_is_a_mistake(closeup: Run, photographs: Path, path: str) -> None:
    code, out, err = closeup(*PHOTO, "--overlay", path)
    assert (code, out) == (2, "")
    assert f"--overlay: {path} should end in .png." in err
    assert not (photographs / path).exists()


def test_an_overlay_that_cannot_be_written_is_told(closeup: Run) -> None:
    code, _, err = closeup(*PHOTO, "--overlay", "nowhere/seen.png")
    assert code == 2
    assert "--overlay: nowhere/seen.png cannot be written" in err


def test_a_photograph_that_is_not_there_is_told(closeup: Run) -> None:
    code, _, err = closeup("scale-reading", "photo", "nothing.jpg", "--tick-pitch-mm", "1")
    assert code == 2
    assert "closeup scale-reading photo: nothing.jpg cannot be read: No such file or directory." in err


def test_a_refusal_names_the_photograph_and_the_options(closeup: Run, photographs: Path) -> None:
    Image.new("L", (500, 400), 99).save(photographs / "plain.png")
    code, out, err = closeup("scale-reading", "comparison", "plain.png", "ruler.jpg", "--tick-pitch-mm", "1")
    assert (code, out) == (3, "")
    assert "Photograph 1" in err
    code, _, err = closeup("scale-reading", "photo", "ruler.jpg", "--tick-pitch-mm", "1", "--crop-factor", "2")
    assert code == 3
    assert "--sensor: Needed with --crop-factor" in err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("scale-reading", "foto", "a.jpg"), "did you mean closeup scale-reading photo?"),
        (("scale-reading", "photo"), "the following arguments are required"),
        (("scale-reading", "photo", "a.jpg"), "--tick-pitch-mm"),
        ((*PHOTO, "--overlai", "a.png"), "did you mean --overlay?"),
        (("photo", "ruler.jpg"), "there is no command 'photo'"),
    ],
)
def test_mistakes_are_told_with_what_was_meant(closeup: Run, words: tuple[str, ...], said: str) -> None:
    code, out, err = closeup(*words)
    assert (code, out) == (2, "")
    assert said in err


def test_the_help_leads_from_the_one_command_to_the_others(closeup: Run) -> None:
    text = " ".join(closeup("scale-reading", "--help")[1].split())
    assert "See also closeup scale-reading photo and closeup scale-reading comparison." in text
    assert "closeup scale-reading/photo" not in text


def test_an_open_file_is_read_from_where_it_stands() -> None:
    content = Path("ruler.jpg").read_bytes()
    behind = io.BytesIO(b"something before" + content)
    behind.seek(len(b"something before"))
    with Client.in_process() as client:
        assert client.scale_reading_photo(behind, tick_pitch_mm=0.5).marks_used > 10


def test_a_file_that_is_no_photograph_is_named_by_its_number(closeup: Run, photographs: Path) -> None:
    (photographs / "notes.jpg").write_text("no photograph")
    code, _, err = closeup("scale-reading", "comparison", "ruler-f8.jpg", "notes.jpg", "--tick-pitch-mm", "0,5")
    assert code == 3
    assert "photograph 2: This is no JPEG" in err
    assert "photograph 1" not in err
