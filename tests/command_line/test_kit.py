"""The kit from the command line: its commands, `--kit`, and the short form of its parts."""

import json
from pathlib import Path

import pytest

from closeup_client.command_line.short_form.reading import train_of
from closeup_client.command_line.short_form.writing import written_train
from closeup_client.command_line.table import table
from kits import changed, sound


def test_the_kit_is_listed_part_by_part(capsys: pytest.CaptureFixture[str]) -> None:
    from closeup_client.cli import main

    assert main(["kit"]) == 0
    shown = capsys.readouterr().out
    assert shown.count("table-bellows") == 1
    assert "{" not in shown
    for words in ("Revision", "wide-35", "table-bellows", "reversing-49", "invented"):
        assert words in shown


def test_a_kit_file_is_checked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from closeup_client.cli import main

    path = tmp_path / "kit.json"
    path.write_text(json.dumps(sound()), encoding="utf-8")
    assert main(["kit", "--kit", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["origin"] == "request"
    path.write_text(json.dumps(changed("/tubes/0/length_mm", -1)), encoding="utf-8")
    assert main(["kit", "--kit", str(path)]) != 0
    assert "tubes" in capsys.readouterr().err


def test_a_kit_file_that_cannot_be_read_is_told_by_its_option(capsys: pytest.CaptureFixture[str]) -> None:
    from closeup_client.cli import main

    assert main(["kit", "--kit", "/nowhere/kit.json"]) == 2
    assert "--kit: /nowhere/kit.json cannot be read" in capsys.readouterr().err


@pytest.mark.usefixtures("wide_terminal")
def test_chains_of_rings_are_shown_with_what_must_be_bought(capsys: pytest.CaptureFixture[str]) -> None:
    from closeup_client.cli import main

    ends = ["--from-thread", "M58x0.75", "--from-gender", "internal", "--to-mount", "bayonet-18.0", "--to-side", "body"]
    assert main(["ring-chains", *ends, "--most", "1"]) == 0
    assert "reversing ring M58x0.75 external" in capsys.readouterr().out


def test_a_train_of_kit_parts_is_evaluated_and_solved(capsys: pytest.CaptureFixture[str]) -> None:
    from closeup_client.cli import main

    train = "kit wide-35 reversed f/8 + kit step-up-49-52 + kit reversing-52-house + kit table-bellows ?"
    assert main(["evaluate", "--camera", "use=field-camera", "--train", train, "--target", "2:1"]) == 0
    assert "kit table-bellows" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("text", "members"),
    [
        ("kit wide-35 reversed f/8", {"use": "wide-35", "reversed": True, "f_number": 8}),
        ("kit zoom-24-60 setting=at-35 f/5.6", {"use": "zoom-24-60", "setting": "at-35", "f_number": 5.6}),
        ("kit table-bellows 80mm", {"use": "table-bellows", "length_mm": 80}),
        ("kit wide-35 focusing=5", {"use": "wide-35", "focusing_extension_mm": 5}),
        ("reversed kit wide-35", {"use": "wide-35", "reversed": True}),
    ],
)
def test_the_short_form_of_a_kit_part(text: str, members: dict[str, object]) -> None:
    (element,) = train_of(text, table().parts).elements
    assert element == {"element": "kit-part", **members}
    (again,) = train_of(written_train([element], table().parts), table().parts).elements
    assert again == element
