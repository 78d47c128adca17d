"""Tables by marked f-number and magnification, each cell asked of the service."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from closeup_client.command_line.asking import ask_by
from closeup_client.command_line.export.lenses import Lens
from closeup_client.command_line.figures import SHORT_DIGITS, f_number, figure, ratio
from closeup_client.command_line.notes import people_first
from closeup_client.command_line.table import Table
from closeup_client.errors import ServiceRefused
from closeup_client.transport import Transport

MOUNTINGS = ("normal", "reversed")
NOT_POSSIBLE = "–"


@dataclass(slots=True)
class Asker:
    """Where the cells are asked, and what came with the answers: each assumed value, remark and caution once."""

    transport: Transport
    table: Table
    assumed: dict[str, Any] = field(default_factory=dict)
    cautions: dict[str, Mapping[str, Any]] = field(default_factory=dict)

    def ask(self, path: str, members: Mapping[str, Any]) -> Mapping[str, Any] | None:
        """Answer of an operation; None where the service refuses it as impossible."""
        try:
            return self.answer(path, members)
        except ServiceRefused as refusal:
            if refusal.code is None:
                raise
            return None

    def answer(self, path: str, members: Mapping[str, Any]) -> Mapping[str, Any]:
        """Answer of an operation; raises what the service refuses."""
        answer: Mapping[str, Any] = ask_by(self.transport, self.table.operation_at(path), members)
        self.assumed.update({name.rpartition("/")[2]: value for name, value in answer["assumed"].items()})
        self.cautions.update({each["code"]: each for each in answer["cautions"]})
        return answer

    def ordered_cautions(self) -> list[Mapping[str, Any]]:
        """Every caution, people first."""
        return people_first(self.cautions.values())


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is tabled: the magnifications, the cameras with their data, and the flash's guide number."""

    magnifications: Sequence[float]
    cameras: Sequence[tuple[str, Mapping[str, Any]]]
    guide_number_m: float


@dataclass(frozen=True, slots=True)
class Grid:
    """One table: a row for each mark, a column for each magnification, unless it says otherwise."""

    title: str
    note: str
    columns: Sequence[str]
    rows: Sequence[tuple[str, Sequence[str]]]
    head: str = "marked"


Cell = Callable[[Mapping[str, Any]], str]


def grids(asker: Asker, lens: Lens, mounting: str, wanted: Wanted) -> list[Grid]:
    """Every table of a lens in one mounting."""
    aperture, flash = "/v1/effective-f-number", "/v1/flash"
    base = {"mounting": mounting} | {key: lens.data[key] for key in ("pupil_magnification",) if key in lens.data}
    made = [
        grid(
            asker, aperture, lens, wanted, base, "Effective f-number", "What the marked aperture really is.", effective
        ),
        grid(
            asker, aperture, lens, wanted, base, "Light lost", "In stops, and the factor on the exposure time.", light
        ),
    ]
    for name, camera in wanted.cameras:
        members = {**base, **lens.data, **camera}
        title, note = f"Depth of field: {name}", f"In all, before and behind the subject, in mm{criterion(camera)}."
        made.append(grid(asker, "/v1/depth-of-field", lens, wanted, members, title, note, depth))
    note = (
        f"Flash to subject in mm: guide number {figure(wanted.guide_number_m)} m, full power, one flash, ISO 100, no "
        "diffuser. At a quarter of the power, half the distance."
    )
    members = base | {"guide_number_m": wanted.guide_number_m}
    made.append(grid(asker, flash, lens, wanted, members, "Flash distance", note, distance))
    return made


def grid(
    asker: Asker, path: str, lens: Lens, wanted: Wanted, members: Mapping[str, Any], title: str, note: str, cell: Cell
) -> Grid:
    """Ask for every cell of one table."""

    def at(mark: float, magnification: float) -> str:
        answer = asker.ask(path, {**members, "f_number": mark, "magnification": magnification})
        return NOT_POSSIBLE if answer is None else cell(answer)

    rows = [(f_number(mark), [at(mark, m) for m in wanted.magnifications]) for mark in lens.marks]
    return Grid(title, note, [ratio(m) for m in wanted.magnifications], rows)


def criterion(camera: Mapping[str, Any]) -> str:
    """Blur criterion of a camera, where it is known."""
    blur = camera.get("circle_of_confusion_mm")
    return "" if blur is None else f", for a circle of confusion of {figure(blur, SHORT_DIGITS)} mm on the sensor"


def effective(answer: Mapping[str, Any]) -> str:
    """Effective f-number of a cell."""
    return f_number(answer["effective_f_number"])


def light(answer: Mapping[str, Any]) -> str:
    """Stops lost, and the factor."""
    return f"{answer['light_loss_stops']:.1f} (×{figure(answer['exposure_factor'], SHORT_DIGITS)})"


def depth(answer: Mapping[str, Any]) -> str:
    """Depth in all."""
    total = answer["total_mm"]
    return "unlimited" if total is None else figure(total, SHORT_DIGITS)


def distance(answer: Mapping[str, Any]) -> str:
    """Distance of the flash."""
    return figure(answer["flash_distance_mm"], SHORT_DIGITS)
