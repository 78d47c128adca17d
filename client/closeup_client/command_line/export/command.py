"""The command that writes static pages for a site without a server."""

import argparse
import sys
from collections.abc import Iterable, Mapping, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from closeup_client.command_line import exit_codes
from closeup_client.command_line.asking import ask_by, transport_to, where_of
from closeup_client.command_line.export.charts import Bench, Chart, charts
from closeup_client.command_line.export.lenses import Lens, is_there, named, of_kit
from closeup_client.command_line.export.pages import STYLE, Shown, assumptions, caution_list, index, lens_page
from closeup_client.command_line.export.tables import MOUNTINGS, Asker, Wanted, grids
from closeup_client.command_line.files import why
from closeup_client.command_line.notes import assumed_lines
from closeup_client.command_line.parsing import UsageError
from closeup_client.command_line.request import document_from
from closeup_client.command_line.scale_bars.command import made_folder, say
from closeup_client.command_line.short_form.reading import BadWords
from closeup_client.command_line.table import Table
from closeup_client.command_line.wording import Wording

OF_CAMERA = ("sensor", "sensor_width_mm", "sensor_height_mm", "circle_of_confusion_mm", "pixel_pitch_um")

SAID_ELSEWHERE = ("circle_of_confusion_mm", "depth_of_field_model")
"""What differs from camera to camera, and what the tables of the depth call `model`."""

EACH = "Each page names what its tables assume."


def export(given: argparse.Namespace, table: Table) -> int:
    """Write every page; returns the exit code."""
    try:
        lenses = named(given.lens or (), table)
    except BadWords as error:
        raise UsageError(f"--lens: {error}") from None
    kit = {} if given.kit is None else {"kit": document_from(given.kit, "--kit")}
    folder = made_folder(given.folder, "FOLDER")
    with closing(transport_to(where_of(given))) as transport:
        listing = ask_by(transport, table.operation_at("/v1/kit"), kit)
        lenses = distinct([*of_kit(listing["kit"]), *lenses])
        wanted = Wanted(given.magnification, cameras_of(listing["kit"]), given.guide_number)
        whole = Asker(transport, table)
        bench = bench_of(given, kit, listing["kit"])
        files: dict[str, str | bytes] = {}
        for lens in lenses:
            asker = Asker(transport, table)
            by_mounting: dict[str, list[Shown]] = {
                mounting: [*grids(asker, lens, mounting, wanted), *charts(asker, lens, mounting, bench)]
                for mounting in MOUNTINGS
            }
            notes = assumptions(assumed_texts(asker, table)), caution_list(asker.ordered_cautions())
            files[f"{lens.slug}.html"] = lens_page(lens, by_mounting, *notes)
            files |= pictures(by_mounting.values())
            whole.cautions |= asker.cautions
    remarks = [each["text"] for each in listing["remarks"]]
    cautions = caution_list(whole.ordered_cautions())
    files["index.html"] = index(listing["kit"]["name"], remarks, lenses, assumptions([EACH]), cautions)
    write(folder, {**files, "page.css": STYLE})
    say(f"{len(lenses)} lenses written to {folder}; begin with {folder / 'index.html'}\n", sys.stdout)
    return exit_codes.DONE


def distinct(lenses: Sequence[Lens]) -> list[Lens]:
    """Lenses whose pages have names of their own; of two with one name the first."""
    return list({each.slug: each for each in reversed(lenses)}.values())[::-1]


def cameras_of(kit: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any]]]:
    """Cameras of a kit that are there, with what the depth of field stands on."""
    return [
        (each["name"], {key: each[key] for key in OF_CAMERA if key in each})
        for each in kit["cameras"]
        if is_there(each)
    ]


def bench_of(given: argparse.Namespace, sent: Mapping[str, Any], kit: Mapping[str, Any]) -> Bench:
    """What the charts stand on: the first camera of the kit that is there."""
    camera = next(filter(is_there, kit["cameras"]), None)
    return Bench(camera, sent, given.magnification, given.subject_depth_mm, given.sensor_detail_lp_per_mm)


def pictures(shown: Iterable[Sequence[Shown]]) -> dict[str, bytes]:
    """Pictures of the charts by the names of their files."""
    return {each.file: each.picture for one in shown for each in one if isinstance(each, Chart)}


def assumed_texts(asker: Asker, table: Table) -> list[str]:
    """What the tables of a lens assume, but for what differs from camera to camera."""
    operation = table.operation_at("/v1/depth-of-field")
    shared = {name: value for name, value in asker.assumed.items() if name not in SAID_ELSEWHERE}
    return assumed_lines(shared, Wording(table, operation))


def write(folder: Path, files: Mapping[str, str | bytes]) -> None:
    """Write the files."""
    for name, content in files.items():
        try:
            (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())
        except OSError as error:
            raise UsageError(f"{folder / name} cannot be written: {why(error)}.") from None
