"""Which magnification fills the frame, and what reaches it; which set-ups of a kit do."""

from __future__ import annotations

from closeup_service.advice import figures
from closeup_service.language import mark
from closeup_service.pages.answer_tables import name_of_wish, unit_in_name
from closeup_service.pages.task import Members, number_of, value_at
from closeup_service.pages.verdicts.case import Case, Told, take_two
from closeup_service.pages.verdicts.words import Words, figure_at, number_at, rows_at, say, span_of, text_at
from closeup_service.schemas.describing import label

MAGNIFICATION, DISTANCE, SEARCH = "findMagnification", "findWorkingDistance", "searchSetUps"
FILLS = (
    mark(
        "Your subject fills the frame at {magnification}: put {extension} of tubes or bellows behind the lens, and the subject "
        "{distance} in front of it."
    ),
    mark("Your subject fills the frame at {magnification}: put {extension} of tubes or bellows behind the lens."),
    mark("Your subject fills the frame at {magnification}, with the subject {distance} in front of the lens."),
    mark("Your subject fills the frame at {magnification}."),
)
FOUND = (
    mark(
        "{meeting} set-ups meet your wishes; the best has the lens “{lens}”, at {magnification}, with {clearance} free in "
        "front of it."
    ),
    mark("{meeting} set-ups meet your wishes; the best has the lens “{lens}”, at {magnification}."),
    mark("{meeting} set-ups meet your wishes; the best gives {magnification}."),
    mark("{meeting} set-ups meet your wishes; how near they come is not known before the lens is measured."),
)
FOUND_ONE = (
    mark("One set-up meets your wishes: the lens “{lens}” at {magnification}, with {clearance} free in front of it."),
    mark("One set-up meets your wishes; it gives {magnification}."),
    mark("One set-up meets your wishes; how near it comes is not known before the lens is measured."),
)
NEAREST = (
    mark("None of your set-ups meets every wish; the nearest misses one alone, the {wish}, by {miss}."),
    mark("None of your set-ups meets every wish."),
)


def case_of_framing(told: Told) -> Case:
    """Figures of a frame that a subject fills."""
    return Case(
        magnification=span_of(told.answer(MAGNIFICATION), "magnification"),
        working_distance_mm=span_of(told.answer(DISTANCE), "working_distance_mm"),
        frame_width_mm=span_of(told.answer(MAGNIFICATION), "subject_width_mm"),
    )


def headline_of_framing(told: Told) -> tuple[str, ...]:
    """The magnification that fills the frame, and what reaches it."""
    extension = figure_at(told.answer(MAGNIFICATION), "extension_mm")
    return take_two(say(FILLS, {**case_of_framing(told).words, "extension": extension}))


def case_of_search(told: Told) -> Case:
    """Figures of the best set-up, which the cards tell: nothing is judged again."""
    del told
    return Case()


def headline_of_search(told: Told) -> tuple[str, ...]:
    """How many set-ups meet the wishes and what the best one gives; else what the nearest one misses."""
    answer = told.answer(SEARCH)
    hits, meeting = rows_at(answer, "hits"), number_of(answer, "meeting") or 0
    if not hits:
        return take_two(say(NEAREST, words_of_nearest(answer)))
    words = {**hit_in_words(hits[0], told), "meeting": figures.decimal(meeting, 9)}
    return take_two(say(FOUND if meeting > 1 else FOUND_ONE, words))


def hit_in_words(hit: Members, told: Told) -> Words:
    """Lens and figures of a set-up that was found."""
    return {
        "lens": lens_of(hit, told),
        "magnification": figure_at(hit, "magnification"),
        "clearance": figure_at(hit, "clearance_mm"),
    }


def lens_of(hit: Members, told: Told) -> str | None:
    """Name of the first lens among parts that are told by their ids."""
    parts = value_at(hit, "parts")
    ids = [str(each).split(" ")[0] for each in parts] if isinstance(parts, list) else []
    names = {each.id: each.name for each in told.kit.lenses}
    return next((names[each] for each in ids if each in names), None)


def words_of_nearest(answer: Members) -> Words:
    """The wish that is missed by least, and by how much."""
    missed = next(iter(rows_at(answer, "relaxations")), {})
    wish, miss = text_at(missed, "wish"), number_at(missed, "miss")
    if miss is None:
        return {}
    return {"wish": label(name_of_wish(wish)), "miss": figures.figure(miss, wish, unit_in_name(wish))}
