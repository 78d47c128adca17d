"""The command that makes the scale bars of many photographs; one that fails never stops the rest."""

import argparse
import csv
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TextIO

from closeup_client.command_line import exit_codes
from closeup_client.command_line.asking import ask_by, transport_to, where_of
from closeup_client.command_line.files import why
from closeup_client.command_line.operation import Operation
from closeup_client.command_line.parsing import UsageError
from closeup_client.command_line.scale_bars.help import SCALE_BARS
from closeup_client.command_line.scale_bars.picture_size import picture_size
from closeup_client.command_line.scale_bars.specimens import (
    FILE,
    RULER_FILE,
    BadRow,
    members_of,
    near_misses,
    read_specimens,
)
from closeup_client.command_line.table import PROGRAM, Table
from closeup_client.command_line.waiting import CLEARED
from closeup_client.errors import CloseupError, ServiceRefused
from closeup_client.transport import Transport

Row = Mapping[str | None, Any]

RESULTS = "scale-bars.csv"
READ, DRAWN = ("scale_px_per_mm", "relative_uncertainty", "magnification"), ("bar_length_um", "bar_px", "caption")
ADDED = (*READ, *DRAWN, "bar_file", "problem")
PITCH = "tick_pitch_mm"
FOR_THE_READING = ("sensor", "sensor_width_mm", "sensor_height_mm", "crop_factor", "used_width_mm", "pixel_pitch_um")
"""What turns the scale into a magnification, and has no part in the bar."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What every row needs: where to ask, what, and where files are; rulers once read are kept."""

    transport: Transport
    photo: Operation
    bar: Operation
    photographs: Path
    output: Path
    rulers: dict[Any, Mapping[str, Any]] = field(default_factory=dict)

    def ask(self, operation: Operation, members: Mapping[str, Any], files: Sequence[tuple[str, bytes]] = ()) -> Any:
        """Ask; while the service is busy with another photograph the transport waits."""
        return ask_by(self.transport, operation, members, files)

    def photograph(self, name: str) -> bytes:
        """Content of a photograph in the folder."""
        try:
            return (self.photographs / name).read_bytes()
        except (OSError, ValueError) as error:
            raise BadRow(f"{name} cannot be read: {why(error)}.") from None


def make_scale_bars(given: argparse.Namespace, table: Table) -> int:
    """Make every bar and write the results; returns the exit code."""
    specimens = read_specimens(given.specimens)
    photo, bar = table.operation_at("/v1/scale-reading/photo"), table.operation_at("/v1/scale-bar")
    for warning in near_misses(specimens.columns, (photo, bar)):
        say(f"{PROGRAM} {SCALE_BARS}: {warning}\n", sys.stderr)
    output = made_folder(given.output)
    with closing(transport_to(where_of(given))) as transport:
        bench = Bench(transport, photo, bar, existing_folder(given.photographs), output)
        problems = write_results(bench, specimens.columns, specimens.rows)
    done = len(specimens.rows) - problems
    say(
        f"{done} of {len(specimens.rows)} scale bars written to {output}; the results are in {output / RESULTS}\n",
        sys.stdout,
    )
    return exit_codes.FAILED if problems else exit_codes.DONE


def existing_folder(path: str) -> Path:
    """Folder that is there."""
    if not Path(path).is_dir():
        raise UsageError(f"--photographs: {path} is no folder.")
    return Path(path)


def made_folder(path: str, given_as: str = "--output") -> Path:
    """Folder, made where it is not there."""
    try:
        Path(path).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise UsageError(f"{given_as}: {path} cannot be made: {why(error)}.") from None
    return Path(path)


def write_results(bench: Bench, columns: Sequence[str], rows: Sequence[Row]) -> int:
    """Write a row of results for each row, at once, so that nothing done is lost; returns how many have a problem."""
    problems = 0
    try:
        with (bench.output / RESULTS).open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(dict.fromkeys([*columns, *ADDED])), extrasaction="ignore")
            writer.writeheader()
            for number, row in shown(rows):
                found = results_of(bench, row, number)
                problems += bool(found["problem"])
                writer.writerow({str(name): value for name, value in row.items()} | found)
                file.flush()
    except OSError as error:
        raise UsageError(f"--output: {RESULTS} cannot be written: {why(error)}.") from None
    return problems


def shown(rows: Sequence[Row]) -> Iterator[tuple[int, Row]]:
    """Number the rows from 1, and show on a terminal how far they are."""
    to_a_person = sys.stderr.isatty()
    for number, row in enumerate(rows, 1):
        if to_a_person:
            say(f"{CLEARED}{number} of {len(rows)}  {row.get(FILE) or ''}", sys.stderr)
        yield number, row
    if to_a_person:
        say(CLEARED, sys.stderr)


def say(text: str, stream: TextIO) -> None:
    """Write at once."""
    stream.write(text)
    stream.flush()


def results_of(bench: Bench, row: Row, number: int) -> dict[str, Any]:
    """Results of one row, or its problem."""
    try:
        return {**made(bench, row, number), "problem": ""}
    except ServiceRefused as refusal:
        return {"problem": problem_of(refusal)}
    except (CloseupError, BadRow) as error:
        return {"problem": str(error)}


def problem_of(refusal: ServiceRefused) -> str:
    """Every fault in one line, those that share their words together."""
    if refusal.code is not None or not refusal.fields:
        return str(refusal.detail or refusal.title)
    places: dict[str, list[str]] = {}
    for fault in refusal.fields:
        places.setdefault(fault.detail, []).append(fault.pointer.removeprefix("/"))
    return " ".join(f"{', '.join(names)}: {detail}" for detail, names in places.items())


def made(bench: Bench, row: Row, number: int) -> dict[str, Any]:
    """Read the scale, draw the bar and write it."""
    name = str(row.get(FILE) or "").strip()
    if None in row:
        raise BadRow("The row has more cells than there are columns.")
    if not name:
        raise BadRow(f"The column {FILE} is blank.")
    content = bench.photograph(name)
    given = members_of(row, bench.bar)
    size = picture_size(content)
    asked = given if size is None else {"image_width_px": size[0], **given}
    reading = scale_of(bench, row, name, content, size)
    if reading is not None:
        known = {key: reading[key] for key in ("scale_px_per_mm", "relative_uncertainty")}
        asked = without(asked, FOR_THE_READING) | known | {"scale_basis": "measured"}
    elif size is not None and size[0] < size[1] and "image_width_px" not in given and "magnification" in given:
        asked = by_the_longer_side(bench, asked, size[1])
    answer = bench.ask(bench.bar, asked)
    file = f"{number:03d}-{Path(name).stem}.svg"
    write_bar(bench.output / file, answer["svg"])
    read = {key: (reading or given).get(key, answer.get(key)) for key in READ}
    return {**read, **{key: answer[key] for key in DRAWN}, "bar_file": file}


def without(members: Mapping[str, Any], names: Iterable[str]) -> dict[str, Any]:
    """Members but for some."""
    return {name: value for name, value in members.items() if name not in names}


def by_the_longer_side(bench: Bench, asked: Mapping[str, Any], longer_px: int) -> dict[str, Any]:
    """Request for the bar of an upright photograph by its scale: along its longer side lies the sensor's width."""
    lying = without(asked, ("cropped_width_px", "finished_width_px")) | {"image_width_px": longer_px}
    scale = bench.ask(bench.bar, lying)["scale_px_per_mm"]
    return without(asked, ("magnification", *FOR_THE_READING)) | {"scale_px_per_mm": scale}


def scale_of(
    bench: Bench, row: Row, name: str, content: bytes, size: tuple[int, int] | None
) -> Mapping[str, Any] | None:
    """Scale read from a ruler, in the photograph itself or in another; None where the row gives no ruler."""
    asked, ruler = members_of(row, bench.photo), str(row.get(RULER_FILE) or "").strip()
    if PITCH not in asked:
        if ruler:
            raise BadRow(f"{RULER_FILE} needs {PITCH}, the pitch of the ruler's finest marks.")
        return None
    key = (ruler or name, *sorted(asked.items()))
    if key not in bench.rulers:
        file = bench.photograph(ruler) if ruler else content
        bench.rulers[key] = bench.ask(
            bench.photo, asked, [(bench.photo.files.name if bench.photo.files else "photo", file)]
        )
    reading = bench.rulers[key]
    ruler_size = (int(reading["image_width_px"]), int(reading["image_height_px"]))
    if ruler and size is not None and sorted(size) != sorted(ruler_size):
        text = f"{ruler} has {ruler_size[0]} x {ruler_size[1]} pixels, {name} {size[0]} x {size[1]}"
        raise BadRow(f"{text}: a scale holds for photographs that were cut and resized alike.")
    return reading


def write_bar(path: Path, svg: str) -> None:
    """Write one bar."""
    try:
        path.write_text(svg, encoding="utf-8")
    except OSError as error:
        raise BadRow(f"{path.name} cannot be written: {why(error)}.") from None
