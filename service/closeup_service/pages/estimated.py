"""What a page says of lens data that were estimated: why results are ranges, what to do about it, and the data themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, cast

from msgspec import Struct

from closeup_service.advice import figures
from closeup_service.advice.calibration_remarks import DATA_ESTIMATED
from closeup_service.advice.estimate_remarks import LENS_ESTIMATED, MEASURE_FIRST, narrow_ranges
from closeup_service.gear.kit import Kit
from closeup_service.language import mark, tr
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.asking import Members
from closeup_service.pages.basis import Stand
from closeup_service.pages.part_names import name_parts_with
from closeup_service.pages.results import inches_between
from closeup_service.schemas.describing import pointer_words, write_in_words

if TYPE_CHECKING:
    from closeup_service.records.answers import Answer, EstimatedDatum, LensEstimateAnswer

FRAMES = ("measured", "frames")
NOTICED = (LENS_ESTIMATED, MEASURE_FIRST, DATA_ESTIMATED)
"""Remarks that the notice tells."""
SOURCES = {
    "lens-class": mark("from published designs"),
    "measured": mark("from published designs and what is known of this lens"),
}


class Notice(Struct, frozen=True):
    """Why results are ranges, and the one thing to do about it; the data that were estimated."""

    why: tuple[str, ...]
    remedy: tuple[str, ...]
    data: tuple[Stand, ...]


def notice_of(answers: Sequence[Answer], requests: Sequence[Members], kit: Kit) -> Notice | None:
    """Notice of some answers to these requests; None where nothing was estimated."""
    named = [(name_parts_with(request, kit), answer) for request, answer in zip(requests, answers, strict=True)]
    data = {pointer: datum for parts, answer in named for pointer, datum in estimates(parts, answer)}
    if not data:
        return None
    return Notice(
        texts(named, LENS_ESTIMATED),
        next_best(answers)
        or texts(named, MEASURE_FIRST)
        or (() if any(map(holds_frame, requests)) else (narrow_ranges(),)),
        tuple(data.values()),
    )


def estimates(parts: Sequence[str], answer: Answer) -> Iterator[tuple[str, Stand]]:
    """Every datum that an answer estimated, by its pointer."""
    found = cast("Mapping[str, EstimatedDatum]", answer.get("estimated", {}))
    return ((pointer, stand(pointer, datum, parts)) for pointer, datum in found.items())


def next_best(answers: Iterable[Answer]) -> tuple[str, ...]:
    """What to measure next where an answer ranks that; nothing where none does."""
    ranked = (cast("LensEstimateAnswer", answer).get("next_measurements", []) for answer in answers)
    best = next((each[0] for each in ranked if each), None)
    return () if best is None else (tr("Measure next: {how}", how=best["how"]),)


def holds_frame(request: Members) -> bool:
    """Whether a request holds a photograph of a ruler already: of its one lens, or of a lens of its train."""
    train = request.get("train")
    lenses = train if isinstance(train, list | tuple) else ()
    return any(isinstance(each, Mapping) and any(name in each for name in FRAMES) for each in (request, *lenses))


def texts(named: Iterable[tuple[Sequence[str], Answer]], code: str) -> tuple[str, ...]:
    """Texts of the remarks of this code, each once, with the names of the parts that they tell of."""
    told = (
        write_in_words(each["text"], parts=parts)
        for parts, answer in named
        for each in answer.get("remarks", ())
        if each["code"] == code
    )
    return tuple(dict.fromkeys(told))


def stand(pointer: str, datum: EstimatedDatum, parts: Sequence[str]) -> Stand:
    """One datum with its range, and what it rests on; `parts` are the names of the parts of the set-up."""
    name = pointer.rpartition("/")[2]
    unit = VOCABULARY[name].unit
    told = figures.figure_in_range(datum["value"], datum["low"], datum["high"], name, unit)
    inches = inches_between(datum["low"], datum["high"]) if unit == "mm" else ""
    return Stand(pointer_words(pointer, parts), told.about, SOURCES[datum["based_on"]], inches, told.between)
