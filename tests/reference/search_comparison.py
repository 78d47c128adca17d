"""What an answer of /v1/set-ups/search and the brute force say differently, in words."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from documented_light import cone, image_distance, length_of
from documented_listing import Answer, Found
from documented_parts import Element

SCORE = 1e-6
FIGURE = 1e-6

Hit = Mapping[str, Any]


def differences(told: Mapping[str, Any], expected: Answer) -> list[str]:
    """Every difference, none where the two agree."""
    counts = {"framed": expected.framed, "meeting": len(expected.meeting)}
    found = [f"{name}: {told[name]} for {count}" for name, count in counts.items() if told[name] != count]
    found += unlike_lists("hits", told["hits"], expected.hits, expected.meeting)
    found += unlike_lists("pareto", told["pareto"], expected.pareto, expected.meeting)
    return [*found, *unlike_relaxations(told["relaxations"], expected)]


def unlike_lists(what: str, told: Sequence[Hit], expected: Sequence[Found], others: Sequence[Found]) -> Iterator[str]:
    """Two lists in their order; of set-ups with one and the same score any may stand in each other's place."""
    if len(told) != len(expected):
        yield f"{what}: {len(told)} for {len(expected)}"
    for place, (hit, found) in enumerate(zip(told, expected, strict=False)):
        if abs(hit["score"] - found.score) > SCORE:
            yield f"{what}/{place}: score {hit['score']:.9g} of {hit['parts']} for {found.score:.9g} of {words(found)}"
            return
        if not any(same_set_up(hit, other) for other in others if abs(other.score - hit["score"]) <= SCORE):
            yield f"{what}/{place}: {hit['parts']} is not {words(found)}"


def unlike_relaxations(told: Sequence[Mapping[str, Any]], expected: Answer) -> Iterator[str]:
    """Relaxations, wish by wish; in which order they are listed the documentation leaves open."""
    relaxations = {relaxed.wish: relaxed for relaxed in expected.relaxations}
    wishes = [each["wish"] for each in told]
    if sorted(wishes) != sorted(relaxations):
        yield f"relaxations: {wishes} for {list(relaxations)}"
        return
    for each in told:
        relaxed = relaxations[each["wish"]]
        for name in ("nearest", "miss"):
            if not alike(each[name], getattr(relaxed, name)):
                yield f"{relaxed.wish}: {name} {each[name]} for {getattr(relaxed, name)}"
        if not any(same_set_up(each["hit"], found) for found in relaxed.equals):
            yield f"{relaxed.wish}: {each['hit']['parts']} for {words(relaxed.found)}"


def same_set_up(hit: Hit, found: Found) -> bool:
    """Whether train, camera, criteria and figures agree."""
    figures = {name: value for name, value in found.figures.items() if name in hit}
    return (
        same_train(hit["document"], found.document)
        and all(alike(hit["criteria"][name], value) for name, value in found.criteria.items())
        and all(alike(hit[name], value) for name, value in figures.items())
    )


def same_train(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two trains do the same: equal glass, and behind the last lens rows of equal length and equal openness.

    Rows that let an equally wide cone of light through differ in nothing but names and order.
    """
    register = one["camera"]["register_mm"]
    rows = [rows_of(document["train"]) for document in (one, other)]
    if len(rows[0]) != len(rows[1]) or register != other["camera"]["register_mm"]:
        return False
    behind_lens = [not any(lens_in(row) for row in rows[0][place + 1 :]) for place in range(len(rows[0]))]
    return all(
        same_row(pair[0], pair[1], rows[0][place + 1 :], register)
        if behind_lens[place] and is_spacer(pair[0][0])
        else alike(*pair)
        for place, pair in enumerate(zip(*rows, strict=True))
    )


def rows_of(train: Sequence[Element]) -> list[list[Element]]:
    """The train in rows: spacers that follow one another together, all else alone."""
    return [list(row) for _, row in groupby(train, key=lambda each: is_spacer(each) or id(each))]


def is_spacer(element: Element) -> bool:
    return bool(element["element"] == "spacer")


def lens_in(row: Sequence[Element]) -> bool:
    return bool(row[0]["element"] == "lens")


def same_row(
    one: Sequence[Element], other: Sequence[Element], behind: Sequence[Sequence[Element]], register: float
) -> bool:
    """Whether two rows of spacers are equally long and let an equally wide cone through."""
    if not is_spacer(other[0]):
        return False
    to_image = image_distance([element for row in behind for element in row], register)
    return alike(length_of(one), length_of(other)) and alike(cone(one, to_image), cone(other, to_image))


def alike(one: Any, other: Any) -> bool:
    """Whether two values agree, numbers to a millionth, whatever they are nested in."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        names = {name for each in (one, other) for name in each if each[name] not in (None, False)}
        return all(alike(one.get(name), other.get(name)) for name in names)
    if isinstance(one, Sequence) and isinstance(other, Sequence) and not isinstance(one, str):
        return len(one) == len(other) and all(map(alike, one, other))
    if isinstance(one, int | float) and isinstance(other, int | float) and not isinstance(one, bool):
        return math.isclose(one, other, rel_tol=FIGURE, abs_tol=1e-7)
    return bool(one == other)


def words(found: Found) -> str:
    """The set-up for people."""
    parts = found.ids
    marks = [str(each["f_number"]) for each in found.document["train"] if "f_number" in each]
    lengths = [f"{each['length_mm']:.6g}" for each in found.document["train"] if each["element"] == "spacer"]
    return f"{' '.join(parts)} f/{', f/'.join(marks)} at {', '.join(lengths)} mm"
