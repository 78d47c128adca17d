"""Charts of a lens for its page, each asked of the service: its picture, its finding, and the rows it is drawn from."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from closeup_client.command_line.export.lenses import Lens
from closeup_client.command_line.export.tables import NOT_POSSIBLE, Asker, Grid, criterion
from closeup_client.command_line.figures import SHORT_DIGITS, f_number, figure, ratio
from closeup_client.errors import ServiceRefused
from closeup_client.messages import SVG

APERTURE, MAGNIFICATION = "/v1/charts/aperture", "/v1/charts/magnification"
SET_UP = "/v1/set-ups/evaluate"
LENGTH = "/train/1/length_mm"
RING = "/train/0/f_number"
WIDTH_PX = 360
"""Reads on a phone, and leaves room for the rows beside it on a desk."""
POINTS = 13
MOST_LENGTH_MM = 200.0
"""So far the charts go where a lens reaches its first magnification by then; longer bellows are rare."""
UNDETERMINED = "undetermined"
TITLES = {APERTURE: "Sharpness by aperture", MAGNIFICATION: "Magnification by extension"}
NO_CAMERA = "No charts: the kit names no camera that is there, and they need one."

MARKS = ("marked", "contrast in focus", "at the ends", "depth, mm", "resolved, µm")
LENGTHS = ("extension, mm", "magnification", "working distance, mm")


@dataclass(frozen=True, slots=True)
class Bench:
    """On what every chart stands: a camera of the kit, the kit where one is sent, and what is to be sharp."""

    camera: Mapping[str, Any] | None
    kit: Mapping[str, Any]
    magnifications: Sequence[float]
    subject_depth_mm: float
    sensor_detail_lp_per_mm: float

    def document(self, lens: Lens, mounting: str, length_mm: float | None = None) -> dict[str, Any]:
        """Set-up document of a lens before an extension, whose length may be left open."""
        assert self.camera is not None
        element = {key: value for key, value in lens.element.items() if key not in ("f_number", "reversed")}
        spacer = {"element": "spacer"} | ({} if length_mm is None else {"length_mm": length_mm})
        turned = {"reversed": True} if mounting == "reversed" else {}
        return {**self.kit, "camera": {"use": self.camera["id"]}, "train": [element | turned, spacer]}


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart: its file, the picture, its finding, what it stands on, and its rows."""

    file: str
    picture: bytes
    finding: str
    grid: Grid


def charts(asker: Asker, lens: Lens, mounting: str, bench: Bench) -> list[Chart | str]:
    """Both charts of a lens in one mounting; for each that cannot be drawn a sentence why."""
    if bench.camera is None:
        return [NO_CAMERA]
    lengths: dict[float, float] = {}
    for magnification in sorted(bench.magnifications):
        try:
            lengths[magnification] = solved(asker, bench.document(lens, mounting), magnification)
        except ServiceRefused as refusal:
            if refusal.code is None:
                raise
            if refusal.code == UNDETERMINED:
                return [without(refusal)]
    if not lengths:
        return [f"No charts: no extension on the {bench.camera['name']} gives any of these magnifications."]
    asked = of_apertures(lens, mounting, bench, lengths), of_lengths(lens, mounting, bench, lengths)
    return [drawn(asker, f"{lens.slug}-{mounting}", *each) for each in asked]


def solved(asker: Asker, document: Mapping[str, Any], magnification: float) -> float:
    """Length of the extension that gives a magnification."""
    solve = {"unknown": LENGTH, "target": {"magnification": magnification}}
    return float(asker.answer(SET_UP, {**document, "solve": solve})["solved"]["value"])


def without(refusal: ServiceRefused) -> str:
    """Sentence on what is not known of the lens."""
    missing = [fault.pointer.rpartition("/")[2].removesuffix("_mm").replace("_", " ") for fault in refusal.fields]
    return f"No charts: they need the {' and the '.join(missing)} of this lens, which is not known."


def of_apertures(
    lens: Lens, mounting: str, bench: Bench, lengths: Mapping[float, float]
) -> tuple[str, Mapping[str, Any], str]:
    """What is asked for the chart of the ring, at the magnification reached that is nearest to life size."""
    assert bench.camera is not None
    magnification = min(lengths, key=lambda each: abs(math.log(each)))
    sharp = {name: getattr(bench, name) for name in ("subject_depth_mm", "sensor_detail_lp_per_mm")}
    members = {
        **bench.document(lens, mounting, lengths[magnification]),
        **sharp,
        "along": RING,
        "f_numbers": lens.marks,
    }
    note = (
        f"At {ratio(magnification)} on the {bench.camera['name']}: contrast of {figure(bench.sensor_detail_lp_per_mm)} "
        f"line pairs per mm on the sensor, in focus and at the ends of a subject {figure(bench.subject_depth_mm)} mm deep; "
        f"depth of field in all{criterion(bench.camera)}; least distance resolved on the subject."
    )
    return APERTURE, members, note


def of_lengths(
    lens: Lens, mounting: str, bench: Bench, lengths: Mapping[float, float]
) -> tuple[str, Mapping[str, Any], str]:
    """What is asked for the chart of the extension, from the least magnification reached to the greatest."""
    assert bench.camera is not None
    least = min(lengths.values())
    greatest = min(max(lengths.values()), max(MOST_LENGTH_MM, least))
    ends = {"minimum": least, "maximum": greatest, "points": POINTS}
    end = "front rim" if mounting == "reversed" else "mount"
    note = f"Extension is all that stands between the mount of the {bench.camera['name']} and the lens's {end}."
    return MAGNIFICATION, {**bench.document(lens, mounting), "along": LENGTH, **ends}, note


def drawn(asker: Asker, stem: str, path: str, members: Mapping[str, Any], note: str) -> Chart | str:
    """Ask for one chart."""
    members = {**members, "width_px": WIDTH_PX}
    try:
        told = asker.answer(path, members)
        picture = asker.transport.post_for(path, members, SVG)
    except ServiceRefused as refusal:
        if refusal.code is None:
            raise
        return f"{TITLES[path]}: no chart, for the service finds it impossible ({refusal.title.lower()})."
    columns, row = (MARKS, mark_row) if path == APERTURE else (LENGTHS, length_row)
    grid = Grid(TITLES[path], note, columns[1:], [row(each) for each in told["rows"]], columns[0])
    return Chart(f"{stem}-{path.rpartition('/')[2]}.svg", picture, told["finding"], grid)


def mark_row(row: Mapping[str, Any]) -> tuple[str, list[str]]:
    """Cells of one mark."""
    contrasts = (row["middle_contrast"], row["end_contrast"])
    sizes = (row["total_mm"], row["subject_resolution_um"])
    return f_number(row["nominal_f_number"]), [*map(contrast, contrasts), *map(cell, sizes)]


def length_row(row: Mapping[str, Any]) -> tuple[str, list[str]]:
    """Cells of one length."""
    magnification = NOT_POSSIBLE if row["magnification"] is None else ratio(row["magnification"])
    return figure(row["length_mm"], SHORT_DIGITS), [magnification, cell(row["working_distance_mm"])]


def contrast(value: float | None) -> str:
    """Contrast of a cell, to as many places as the chart shows; below 0 light and dark are swapped."""
    return NOT_POSSIBLE if value is None else f"{value:z.2f}".replace("-", "−")


def cell(value: float | None) -> str:
    """Figure of a cell."""
    return NOT_POSSIBLE if value is None else figure(value, SHORT_DIGITS)
