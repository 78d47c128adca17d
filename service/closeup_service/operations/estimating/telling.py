"""What an answer tells of its estimates: data, ranges, and the remarks that go with them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, TypedDict

from closeup_service.advice import estimate_remarks
from closeup_service.advice.remark import Remark
from closeup_service.estimates.joint import Joint
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.ranges import COVERAGE, Range, is_measured_first
from closeup_service.operations.estimating.places import Place

if TYPE_CHECKING:
    from closeup_service.records import answers

    class EstimateMembers(TypedDict):
        """What every estimated answer has."""

        coverage: float
        estimated: Mapping[str, answers.EstimatedDatum]
        ranges: Mapping[str, answers.Range]
        measure_first: Sequence[str]


CLASS, MEASURED = "lens-class", "measured"
MAGNIFICATION = "magnification"
MOST_NAMED = 6
"""So many figures are named that are not told."""


def source_of(lens: KnownLens) -> str:
    """What the estimates of a lens are based on."""
    return MEASURED if lens.is_measured else CLASS


def tell_datum(found: Range, lens: KnownLens) -> answers.EstimatedDatum:
    """One datum of a lens that is estimated."""
    return {"value": found.value, "low": found.low, "high": found.high, "based_on": source_of(lens)}


def tell_data(places: Sequence[Place], joint: Joint) -> dict[str, answers.EstimatedDatum]:
    """Every datum that is estimated, by its pointer."""
    return {
        f"{place.pointer}/{name}": tell_datum(each, place.lens)
        for place in places
        for name, each in place.ranges(joint).items()
        if not each.is_sharp
    }


def untold_figures(ranges: Mapping[str, Range], lenses: Iterable[KnownLens], *, impossible: bool) -> list[str]:
    """Names of figures of which no single one should be told; `impossible` says that too many lenses have none at all."""
    if not all(lens.within_statistics for lens in lenses):
        return list(ranges)
    magnification = ranges.get(MAGNIFICATION)
    if not impossible and (magnification is None or not is_measured_first(magnification)):
        return []
    return [name for name, each in ranges.items() if impossible or each.says_little or name == MAGNIFICATION]


def told_ranges(
    ranges: Mapping[str, Range], untold: Iterable[str], is_whole: Callable[[str], bool]
) -> dict[str, answers.Range]:
    """Ranges as an answer tells them: of a count in whole numbers, of what is not told none."""
    left_out = set(untold)
    return {name: each.ends(whole=is_whole(name)) for name, each in ranges.items() if name not in left_out}


def remarks_on(lenses: Iterable[KnownLens], joint: Joint, untold: Sequence[str]) -> list[Remark]:
    """What the estimates rest on, and what is to be done about them."""
    notes: list[Remark] = []
    for lens in dict.fromkeys(lenses):
        family = lens.family
        notes.append(estimate_remarks.estimated_lens(family.words, lens.designs, measured=lens.is_measured))
        if not lens.within_statistics:
            notes.append(estimate_remarks.missing_statistics(family.words, *family.valid_mm))
        notes += [
            estimate_remarks.unexpected_reading(each.name, each.value, each.usual.low, each.usual.high)
            for each in joint.drawn[lens].ensemble.unexpected
        ]
    if untold:
        named = [*untold[:MOST_NAMED], *(["others"] if len(untold) > MOST_NAMED else [])]
        notes.append(estimate_remarks.measure_first(named))
    return notes


def tell(
    data: Mapping[str, answers.EstimatedDatum], ranges: Mapping[str, answers.Range], untold: Sequence[str]
) -> EstimateMembers:
    """Members that every estimated answer has."""
    return {"coverage": COVERAGE, "estimated": data, "ranges": ranges, "measure_first": list(untold)}
