"""A released document is a promise: what follows within its line keeps it."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from breaking_changes import breaking_changes
from document_changes import Change, after, drop, put
from references import objects_of, written_out

OPENAPI = Path(__file__).parents[2] / "openapi"
CURRENT: dict[str, Any] = json.loads((OPENAPI / "openapi.json").read_text())
CHANGES = (OPENAPI / "CHANGES.md").read_text()
DATED = r"\(\d{4}-\d{2}-\d{2}\)"


def line_of(version: str) -> tuple[int, ...]:
    """The versions that promise each other: one major version, and below 1.0 one minor version."""
    major, minor, _patch = (int(part) for part in version.split("."))
    return (major,) if major else (0, minor)


def broken_promises(folder: Path, current: dict[str, Any]) -> list[str]:
    told = []
    for copy in sorted(folder.glob("*.json")):
        released = json.loads(copy.read_text())
        if line_of(released["info"]["version"]) == line_of(current["info"]["version"]):
            told += [f"{copy.name}: {line}" for line in breaking_changes(released, current)]
    return told


def misfiled(folder: Path) -> list[str]:
    copies = {path: json.loads(path.read_text())["info"]["version"] for path in folder.glob("*.json")}
    return [f"{path.name} holds {version}" for path, version in copies.items() if path.name != f"{version}.json"]


def undated(folder: Path, changes: str) -> list[str]:
    versions = [path.stem for path in folder.glob("*.json")]
    return [version for version in versions if not re.search(rf"(?m)^## {re.escape(version)} {DATED}$", changes)]


def test_the_document_keeps_what_every_release_of_its_line_promised() -> None:
    assert broken_promises(OPENAPI / "released", CURRENT) == []


def test_a_released_copy_is_named_after_its_version() -> None:
    assert misfiled(OPENAPI / "released") == []


def test_every_released_version_has_a_dated_section_of_changes() -> None:
    assert undated(OPENAPI / "released", CHANGES) == []


def test_the_current_version_has_a_section_of_changes() -> None:
    version = re.escape(CURRENT["info"]["version"])
    assert re.search(rf"(?m)^## {version} (\(not released\)|{DATED})$", CHANGES)


def test_the_check_understands_every_keyword_of_the_document() -> None:
    assert breaking_changes(CURRENT, CURRENT) == []


@pytest.fixture
def releases(tmp_path: Path) -> Path:
    for version in ("0.1.0", "0.2.0", "0.2.1", "1.0.0", "1.4.2"):
        released = {"info": {"version": version}, "paths": {f"/of-{version}": {}}}
        (tmp_path / f"{version}.json").write_text(json.dumps(released))
    return tmp_path


@pytest.mark.parametrize(
    ("version", "kept_to"),
    [("0.1.1", ["0.1.0"]), ("0.2.2", ["0.2.0", "0.2.1"]), ("0.3.0", []), ("1.5.0", ["1.0.0", "1.4.2"]), ("2.0.0", [])],
)
def test_a_version_is_held_to_the_releases_of_its_own_line_alone(
    releases: Path, version: str, kept_to: list[str]
) -> None:
    told = broken_promises(releases, {"info": {"version": version}, "paths": {}})
    assert told == [f"{released}.json: /of-{released}: path removed" for released in kept_to]


def test_without_any_release_nothing_is_promised(tmp_path: Path) -> None:
    assert broken_promises(tmp_path / "released", CURRENT) == []


def test_a_copy_under_a_wrong_name_is_told(releases: Path) -> None:
    (releases / "1.0.0.json").rename(releases / "v1.0.0.json")
    assert misfiled(releases) == ["v1.0.0.json holds 1.0.0"]


def test_a_release_without_a_date_is_told(releases: Path) -> None:
    changes = "## 1.4.2 (2031-05-06)\n\n## 1.0.0 (not released)\n\n## 0.2.1 (2030-01-02)\n\n## 0.2.0 (2030-01-01)\n"
    assert sorted(undated(releases, changes)) == ["0.1.0", "1.0.0"]


RELEASED: dict[str, Any] = json.loads((OPENAPI / "released" / "1.0.0.json").read_text())
WRITTEN_OUT = written_out(CURRENT, objects_of(CURRENT))


def test_written_out_the_document_promises_what_it_promises_by_references() -> None:
    assert breaking_changes(WRITTEN_OUT, CURRENT) == breaking_changes(CURRENT, WRITTEN_OUT) == []


SHARED = "#/components"
THROUGH_REFERENCES: dict[str, tuple[Change, str]] = {
    "parameter required": (
        put(f"{SHARED}/parameters/Sensor", required=True),
        "query parameter sensor is newly required",
    ),
    "parameter style": (
        put(f"{SHARED}/parameters/Sensor", style="form"),
        "query parameter sensor: style None became form",
    ),
    "parameter renamed": (put(f"{SHARED}/parameters/Sensor", name="chip"), "query parameter sensor removed"),
    "member narrowed": (put(f"{SHARED}/schemas/FocalLengthMm", minimum=1), "minimum 0.5 became minimum 1"),
    "member of another unit": (put(f"{SHARED}/schemas/FocalLengthMm", **{"x-unit": "m"}), "unit mm became m"),
    "media type of an answer": (
        drop(f"{SHARED}/responses/MagnificationAnswer/content/application~1json"),
        "GET /v1/magnification: status 200: media type application/json removed",
    ),
    "schema of an answer": (
        put(
            f"{SHARED}/responses/MagnificationAnswer/content/application~1json",
            schema={"$ref": "#/components/schemas/SetUpAnswer"},
        ),
        "member",
    ),
    "header of an answer": (
        drop(f"{SHARED}/responses/MagnificationAnswer/headers/RateLimit"),
        "GET /v1/magnification: status 200: header RateLimit removed",
    ),
    "media type of a refusal": (
        drop(f"{SHARED}/responses/400/content/application~1problem+json"),
        "GET /v1/magnification: status 400: media type application/problem+json removed",
    ),
    "header of a refusal": (
        drop(f"{SHARED}/responses/429/headers/Retry-After"),
        "GET /v1/magnification: status 429: header Retry-After removed",
    ),
}


@pytest.mark.parametrize("name", THROUGH_REFERENCES)
def test_a_break_in_what_is_shared_is_told_of_a_release_that_wrote_it_out(name: str) -> None:
    change, expected = THROUGH_REFERENCES[name]
    assert any(expected in line for line in breaking_changes(RELEASED, after(change, of=CURRENT)))


def test_an_example_that_goes_breaks_nothing() -> None:
    without = after(put("#/components", examples={}), of=CURRENT)
    assert breaking_changes(RELEASED, without) == []
