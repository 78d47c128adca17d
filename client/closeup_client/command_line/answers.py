"""An answer for people: label, value and unit in aligned lines; groups and listings apart."""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Any, NamedTuple

from closeup_client.command_line.figures import measured, with_range
from closeup_client.command_line.listing import is_nested, listing
from closeup_client.command_line.notes import NOTES, notes
from closeup_client.command_line.operation import Field
from closeup_client.command_line.wording import Wording, quantity_of, unit_of
from closeup_client.command_line.working import STEPS, working

NOT_DETERMINED = "not determined"
MEASURE_FIRST = "measure first"
MOST_IN_LINE = 6
NARROWEST_VALUE = 20
LONGEST_TEXT = 300
WITHIN = ": "
APART = (*NOTES, STEPS)
"""Members that stand below the figures, each in its own layout."""
EXTENTS = {"unlimited": "unlimited", "undetermined": NOT_DETERMINED}


class Line(NamedTuple):
    """One line: how far it stands in, its label, its value; a heading has no value."""

    indent: int
    label: str
    value: str = ""


def answer_text(answer: Mapping[str, Any], wording: Wording, width: int, all_cautions: bool) -> str:
    """Whole answer as text, wrapped to the width."""
    estimates = Estimates(answer.get("ranges", {}), answer.get("measure_first", ()))
    blocks = [aligned(list(lines(answer, wording, wording.operation.answer, estimates=estimates)), width)]
    listings = list(listings_in(answer, wording, wording.operation.answer))
    for heading, records, field in listings:
        table = listing(records, field, wording, width)
        blocks.append(f"{headed(heading)}\n{table}" if len(listings) > 1 or WITHIN in heading else table)
    blocks.append(working(answer.get(STEPS, ()), wording, width))
    blocks += notes(answer, wording, width, all_cautions)
    return "\n\n".join(block for block in blocks if block) + "\n"


def listings_in(
    answer: Mapping[str, Any], wording: Wording, fields: Sequence[Field], above: str = ""
) -> Iterator[tuple[str, Sequence[Mapping[str, Any]], Field | None]]:
    """Lists of records, those within groups too, such as the parts of a kit: heading, records and field of each."""
    by_name = {field.name: field for field in fields}
    for name, value in answer.items():
        field, heading = by_name.get(name), above + wording.label(name)
        if is_listing(name, value):
            yield heading, value, field
        elif isinstance(value, Mapping) and name not in APART:
            yield from listings_in(value, wording, field.fields if field else (), heading + WITHIN)


def is_listing(name: str, value: Any) -> bool:
    """Whether a member is a list of records."""
    return name not in APART and isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


class Estimates(NamedTuple):
    """What an answer tells of its estimates: the range of each figure, and the figures that are not told, by dotted name."""

    ranges: Mapping[str, Mapping[str, float]] = {}
    untold: Sequence[str] = ()
    above: str = ""

    def within(self, name: str) -> "Estimates":
        """Estimates of the figures of a member."""
        return self._replace(above=f"{self.above}{name}.")

    def range_of(self, name: str) -> Mapping[str, float] | None:
        """Range of a figure here."""
        return self.ranges.get(self.above + name)

    def is_untold(self, name: str) -> bool:
        """Whether a figure here is not told because the lens is not known well enough."""
        return self.above + name in self.untold


NONE_ESTIMATED = Estimates()


def lines(
    answer: Mapping[str, Any],
    wording: Wording,
    fields: Sequence[Field],
    indent: int = 0,
    estimates: Estimates = NONE_ESTIMATED,
) -> Iterator[Line]:
    """Lines of an object in the order of the table; members it does not know, from a newer service, come last."""
    by_name = {field.name: field for field in fields}
    names = [name for name in by_name if name in answer]
    names += [name for name in answer if name not in by_name]
    for name in sorted(names, key=lambda name: not is_solution(answer[name])):
        value = answer[name]
        field = by_name.get(name)
        if name in APART or is_extent(name, answer) or is_empty_listing(value, field):
            continue
        if is_listing(name, value) or (field and (field.is_picture or field.deprecated)):
            continue
        if is_solution(value):
            yield solution(value, wording, estimates.within(name))
        elif is_estimate(value):
            yield estimate(name, value, wording, indent)
        elif isinstance(value, Mapping):
            yield Line(indent, headed(wording.label(name)))
            yield from lines(value, wording, field.fields if field else (), indent + 1, estimates.within(name))
        else:
            label = headed(field.label if field else wording.label(name))
            yield Line(indent, label, value_text(name, answer, wording, field, estimates))


def is_empty_listing(value: Any, field: Field | None) -> bool:
    """Whether this is a list of records that holds none."""
    return value == [] and field is not None and field.kind == "group"


def headed(label: str) -> str:
    """Label at the beginning of a line."""
    return label[:1].upper() + label[1:]


def value_text(
    name: str, answer: Mapping[str, Any], wording: Wording, field: Field | None, estimates: Estimates
) -> str:
    """One value for people."""
    value = answer[name]
    if value is None:
        return MEASURE_FIRST if estimates.is_untold(name) else why_missing(name, answer)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name == "aperture_stop":
        return wording.part(value)
    meant = quantity_of(name, answer)
    unit = field.unit if field and meant == name else unit_of(meant, wording.known)
    if isinstance(value, list):
        return matrix(value) if is_nested(value) else series(value, name, unit, wording, field)
    if isinstance(value, int | float):
        ends = estimates.range_of(name)
        return measured(value, meant, unit) if ends is None else with_range(value, ends, meant, unit)
    return text_or_length(wording.choice(value, field))


def text_or_length(text: str) -> str:
    """Text itself; of one too long to read, such as a drawing, how long it is."""
    return text if len(text) <= LONGEST_TEXT else f"{len(text)} characters, see --json or --output"


def matrix(value: Sequence[Any]) -> str:
    """Rows of numbers are for programs: say only how many there are."""
    return f"{len(value)} rows, in full with --json"


def series(values: Sequence[Any], name: str, unit: str, wording: Wording, field: Field | None) -> str:
    """Several values in a line; of many the first and the last, the rest is in --json."""
    if not values:
        return "none"
    shown = [
        measured(each, name, "") if isinstance(each, int | float) else wording.choice(each, field) for each in values
    ]
    if len(shown) > MOST_IN_LINE:
        shown = [*shown[: MOST_IN_LINE - 2], f"... {shown[-1]} ({len(values)} in all)"]
    return " ".join(filter(None, [", ".join(shown), unit]))


def why_missing(name: str, answer: Mapping[str, Any]) -> str:
    """Say why a figure is null: unlimited, or not determined."""
    return EXTENTS.get(answer.get(extent_name(name), ""), total_of(name, answer))


def total_of(name: str, answer: Mapping[str, Any]) -> str:
    """A total is unlimited where one of its sides is; what else is missing is not determined."""
    unlimited = "unlimited" in (answer.get("front_extent"), answer.get("rear_extent"))
    return "unlimited" if name == "total_mm" and unlimited else NOT_DETERMINED


def extent_name(name: str) -> str:
    """Name of the member that says whether this depth is finite."""
    return name.replace("_depth_mm", "_extent")


def is_extent(name: str, answer: Mapping[str, Any]) -> bool:
    """Whether this member only says what its depth says already."""
    return name.endswith("_extent") and name.replace("_extent", "_depth_mm") in answer


def is_estimate(value: Any) -> bool:
    """Whether this is a datum or a figure that is told by its median and its range."""
    return isinstance(value, Mapping) and {"value", "low", "high"} <= value.keys()


def estimate(name: str, value: Mapping[str, Any], wording: Wording, indent: int) -> Line:
    """Line of a datum or a figure with its range; a figure says itself which it is."""
    meant = str(value.get("name", name))
    if value["value"] is None:
        return Line(indent, headed(wording.label(meant)), MEASURE_FIRST)
    return Line(
        indent, headed(wording.label(meant)), with_range(value["value"], value, meant, unit_of(meant, wording.known))
    )


def is_solution(value: Any) -> bool:
    """Whether this is the open length, solved."""
    return isinstance(value, Mapping) and "pointer" in value and "value" in value


def solution(value: Mapping[str, Any], wording: Wording, estimates: Estimates) -> Line:
    """Line of the open length, solved: which member of which part."""
    _, _, index, name = value["pointer"].split("/", 3)
    label = f"Solved: {wording.label(name)} of {wording.part(int(index))}"
    unit, ends = unit_of(name, wording.known), estimates.range_of("value")
    if value["value"] is None:
        return Line(0, label, MEASURE_FIRST)
    told = measured(value["value"], name, unit) if ends is None else with_range(value["value"], ends, name, unit)
    return Line(0, label, told)


def aligned(found: Sequence[Line], width: int) -> str:
    """Lines as text, all values in one column; long ones go on below themselves."""
    column = max((2 * line.indent + len(line.label) for line in found if line.value), default=0)
    return "\n".join(text for line in found for text in lines_of(line, column, width))


def lines_of(line: Line, column: int, width: int) -> Iterator[str]:
    """Label and value, the value in as many lines as it takes."""
    room = max(width - column - 2, NARROWEST_VALUE)
    values = textwrap.wrap(line.value, room, break_on_hyphens=False, break_long_words=False) or [""]
    for label, value in zip_longest(["  " * line.indent + line.label], values, fillvalue=""):
        yield f"{label:<{column}}  {value}".rstrip()
