"""The search against a brute force that was written from its documentation alone, over 76 invented random kits."""

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered
from documented_listing import Answer, Found
from documented_search import Search
from random_kits import KITS, random_search, renamed
from search_comparison import differences

SEARCH = "/v1/set-ups/search"
DIGITS = 7


TOLD: dict[int, dict[str, Any]] = {}


def told(api: FlaskClient, seed: int) -> dict[str, Any]:
    """What the service answers, asked once."""
    if seed not in TOLD:
        TOLD[seed] = answered(api, SEARCH, random_search(seed))
    return TOLD[seed]


@cache
def expected(seed: int) -> Answer:
    """What the documentation lets one expect."""
    return Search(random_search(seed)).answer()


@pytest.mark.parametrize("seed", range(KITS))
def test_the_search_finds_what_its_documentation_says(api: FlaskClient, seed: int) -> None:
    assert differences(told(api, seed), expected(seed)) == []


@pytest.mark.parametrize("seed", range(KITS))
def test_neither_names_nor_the_order_of_parts_matter(api: FlaskClient, seed: int) -> None:
    other = answered(api, SEARCH, renamed(random_search(seed), seed))
    assert figures_of(other) == figures_of(told(api, seed))


def test_the_kits_are_hard_enough() -> None:
    """Most find something; some have nothing that meets the wishes, and some nothing that fills the frame."""
    counts: Counter[str] = Counter()
    for seed in range(KITS):
        answer = expected(seed)
        counts["met"] += bool(answer.meeting)
        counts["framed only"] += bool(answer.framed and not answer.meeting)
        counts["nothing framed"] += not answer.framed
        counts["many framed"] += answer.framed >= 10
        counts["relaxed"] += bool(answer.relaxations)
        found = [*answer.meeting, *(relaxed.found for relaxed in answer.relaxations)]
        counts.update({kind for each in found for kind in kinds_of(each)})
    assert {name: counts[name] for name, least in HARD_ENOUGH.items() if counts[name] < least} == {}, counts


HARD_ENOUGH = {
    "met": 30,
    "framed only": 8,
    "nothing framed": 10,
    "many framed": 8,
    "relaxed": 20,
    "one lens": 30,
    "two lenses": 8,
    "close-up-lens": 12,
    "teleconverter": 15,
    "objective": 8,
    "objective before a lens": 4,
    "no iris governs": 10,
    "no working distance": 5,
    "bellows": 20,
    "three tubes": 5,
}
"""In how many of the kits each occurs at least."""


def kinds_of(found: Found) -> Iterator[str]:
    """What stands in a set-up."""
    elements = [element["element"] for element in found.document["train"]]
    yield from {"close-up-lens", "teleconverter", "objective"} & set(elements)
    yield from ["two lenses"] if elements.count("lens") == 2 else ["one lens"]
    yield from ["objective before a lens"] if {"objective", "lens"} <= set(elements) else []
    yield from ["no iris governs"] if found.figures["light_loss_stops"] is None else []
    yield from ["no working distance"] if found.figures["working_distance_mm"] is None else []
    yield from ["bellows"] if any(name.startswith("bellows") for name in found.ids) else []
    yield from ["three tubes"] if sum(name.startswith("tube") for name in found.ids) >= 3 else []


def figures_of(answer: Mapping[str, Any]) -> dict[str, Any]:
    """Numbers of an answer; set-ups of one score may change places, and one may stand for the other at the list's end."""
    return {
        **{name: answer[name] for name in ("framed", "meeting", "arrangements")},
        **{name: [rounded(hit["score"]) for hit in answer[name]] for name in ("hits", "pareto")},
        "figures": {name: sorted(alone(answer[name])) for name in ("hits", "pareto")},
        "relaxations": [
            [each["wish"], rounded(each["nearest"]), rounded(each["miss"]), numbers_of(each["hit"])]
            for each in answer["relaxations"]
        ],
    }


def alone(hits: list[dict[str, Any]]) -> Iterator[str]:
    """Figures of the set-ups whose score no other has."""
    scores = Counter(rounded(hit["score"]) for hit in hits)
    yield from (numbers_of(hit) for hit in hits[:-1] if scores[rounded(hit["score"])] == 1)


def numbers_of(hit: Mapping[str, Any]) -> str:
    """Every figure of a set-up, and the whole length of what has no glass, rounded."""
    spacers = sum(element["length_mm"] for element in hit["document"]["train"] if element["element"] == "spacer")
    figures = {name: rounded(value) for name, value in hit.items() if isinstance(value, int | float)}
    return str(sorted({**figures, "spacers": rounded(spacers), "count": len(hit["parts"])}.items()))


def rounded(value: float | None) -> str:
    return "none" if value is None else f"{value + 0.0:.{DIGITS}g}"
