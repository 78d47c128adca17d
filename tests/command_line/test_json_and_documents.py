"""What goes in and out as JSON, and the listings: the same as the client gets."""

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from closeup_client import Answer, Client, camera, lens, solve, spacer

Run = Callable[..., tuple[int, str, str]]

SAME: dict[str, tuple[tuple[str, ...], Callable[[Client], Answer]]] = {
    "magnification": (
        ("--subject-width-mm", "15", "--sensor", "36x24"),
        lambda client: client.magnification(subject_width_mm=15, sensor="36x24"),
    ),
    "effective-f-number": (
        ("--f-number", "f/8", "--magnification", "3:2"),
        lambda client: client.effective_f_number(f_number=8, magnification=1.5),
    ),
    "evaluate": (
        (
            "--camera",
            "register=18",
            "--train",
            "50mm f/8 register=18 + tube ?",
            "--target",
            "1:1",
            "--between",
            "10",
            "90",
        ),
        lambda client: client.evaluate(
            camera=camera(register_mm=18),
            train=[lens(focal_length_mm=50, f_number=8, register_mm=18), spacer()],
            solve=solve(unknown="/train/1/length_mm", minimum=10, maximum=90, target={"magnification": 1}),
            estimate_unknown=True,
        ),
    ),
}


@pytest.mark.parametrize("command", SAME)
def test_json_is_what_the_client_gets(closeup: Run, service_url: str, command: str) -> None:
    words, ask = SAME[command]
    with Client(service_url) as client:
        raw = ask(client).raw
    for place in ((), ("--server", service_url)):
        code, out, _ = closeup(command, *words, "--json", *place)
        assert code == 0
        assert json.loads(out) == raw


@pytest.mark.usefixtures("wide_terminal")
@pytest.mark.parametrize("listing", ["sensors", "mounts", "threads"])
def test_a_listing_is_an_aligned_table_of_every_record_with_its_source(
    closeup: Run, service_url: str, listing: str
) -> None:
    _, told, _ = closeup(listing, "--server", service_url, "--json")
    with Client(service_url) as client:
        records: Any = getattr(client, listing)()
    assert json.loads(told) == {"records": [dict(record.raw) for record in records]}
    _, out, _ = closeup(listing, "--server", service_url)
    head, *rows = out.partition("\n\n")[0].splitlines()
    assert [row.split()[0] for row in rows] == [record.id for record in records]
    names = head.index("names")
    assert [row[names:] for row in rows] == [", ".join(record.names) for record in records]
    sources = " ".join(out.partition("\n\n")[2].split())
    assert [record.source for record in records if " ".join(record.source.split()) not in sources] == []


def test_a_document_is_read_from_a_file_and_options_beside_it_replace_its_members(closeup: Run, tmp_path: Path) -> None:
    document = {
        "camera": {"register_mm": 18},
        "train": [
            {"element": "lens", "focal_length_mm": 50, "f_number": 8, "register_mm": 18},
            {"element": "spacer", "length_mm": 25},
        ],
        "wavelength_nm": 650,
    }
    path = tmp_path / "rig.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    _, plain, _ = closeup("evaluate", "--document", str(path), "--json")
    assert json.loads(plain)["diffraction"]["wavelength_nm"] == 650
    _, replaced, _ = closeup("evaluate", "--document", str(path), "--wavelength-nm", "450", "--json")
    assert json.loads(replaced)["diffraction"]["wavelength_nm"] == 450
    _, out, _ = closeup("evaluate", "--document", str(path))
    assert "part 1 (lens)" in out


def test_a_document_is_read_from_standard_input(closeup: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    text = '{"camera": {"register_mm": 18}, "train": [{"element": "lens", "focal_length_mm": -3}]}'
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))
    code, _, err = closeup("evaluate", "--document", "-")
    assert code == 3
    assert "/train/0/focal_length_mm: Give a number from 0.5 to 5000 mm." in err
