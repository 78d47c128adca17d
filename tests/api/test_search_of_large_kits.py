"""`/v1/set-ups/search`: what a search may cost is counted before it starts, and it ends when nobody waits."""

import itertools
import random
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from asking import answered, codes, pointers, refused
from closeup_service.gear.errors import NobodyWaits
from closeup_service.gear.search.arrangements import search
from closeup_service.gear.search.request import ARRANGEMENTS, ASSUMED_WISHES, Request
from closeup_service.gear.search.stacks import RESOLUTIONS_MM, Stacks
from closeup_service.gear.search.work import MOST_WORK, TooManyCandidates, Work
from closeup_service.schemas.kit import read_kit
from fifty_kit import FIFTY, SEARCH, kit, own, tube
from large_kit import large_kit, many_parts


def asked_of(kit_file: dict[str, Any], wanted: float = 1.0) -> Request:
    read = read_kit(kit_file, "request")
    return Request(
        read,
        read.cameras[0],
        wanted,
        0.05,
        ASSUMED_WISHES,
        None,
        frozenset(ARRANGEMENTS),
        10,
        2,
        {},
        frozenset(ASSUMED_WISHES),
    )


def test_two_dozen_tubes_are_searched_by_their_lengths(api: FlaskClient) -> None:
    """2^24 sets of tubes have some hundred lengths: 0.5 mm apart, up to their total."""
    tubes = [tube(f"tube-{number:02}", 5 + number / 2) for number in range(24)]
    answer = answered(api, SEARCH, own(kit=kit(tubes=tubes)))
    total = sum(5 + number / 2 for number in range(24))
    assert answer["framed"] > 0
    assert answer["arrangements"] <= 3 * (2 * total + 1)  # the lens normal, reversed, or before itself
    assert answer["hits"][0]["magnification"] == pytest.approx(0.5, rel=0.01)


@pytest.mark.parametrize("seed", [1, 2])
def test_a_studio_of_thirty_lenses_fifteen_tubes_and_forty_rings_is_searched(seed: int) -> None:
    result = search(asked_of(many_parts(seed)), Work())
    assert result.found.hits > 1000
    assert result.plan.work <= MOST_WORK


def test_lengths_that_hardly_differ_count_as_the_same_where_there_are_too_many(api: FlaskClient) -> None:
    """18 tubes of any length have 2^18 different totals."""
    draw = random.Random(1)
    tubes = [tube(f"tube-{number:02}", draw.uniform(4, 12)) for number in range(18)]
    answer = answered(api, SEARCH, own(kit=kit(tubes=tubes)))
    assert "lengths-alike" in codes(answer["remarks"])
    assert answer["hits"][0]["magnification"] == pytest.approx(0.5, rel=0.02)


def test_a_kit_that_is_too_large_is_refused_before_the_search(
    api: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def framed(*_: object) -> Iterator[object]:
        raise AssertionError("framed before it was counted")

    monkeypatch.setattr("closeup_service.gear.search.framing.Plan.frame", framed)
    lenses = [{**FIFTY, "id": f"lens-{number}"} for number in range(300)]
    problem = refused(api, SEARCH, own(kit=kit(lenses=lenses)))
    assert problem["code"] == "too-many-candidates"
    assert pointers(problem) == {"/arrangements"}
    assert "not available" in problem["detail"]


def test_more_tubes_than_a_search_combines_are_refused(api: FlaskClient) -> None:
    tubes = [tube(f"tube-{number}", 5 + number) for number in range(61)]
    assert "61" in refused(api, SEARCH, own(kit=kit(tubes=tubes)))["detail"]


def test_tubes_that_can_be_ordered_in_too_many_ways_are_refused(api: FlaskClient) -> None:
    """Tubes that change from mount to mount, and none like another."""
    mounts = ("bayonet-18.0", "M42x1", "bayonet-46.5", "bayonet-44.0")
    sides = itertools.product(mounts, mounts)
    tubes = [
        tube(
            f"tube-{number}",
            9 + number,
            front={"mount": front, "side": "body"},
            rear={"mount": rear, "side": "lens"},
        )
        for number, (front, rear) in enumerate(sides)
    ]
    assert refused(api, SEARCH, own(kit=kit(tubes=tubes)))["code"] == "too-many-candidates"


def test_the_search_ends_when_nobody_waits() -> None:
    questions = 0

    def go_on() -> None:
        nonlocal questions
        questions += 1
        if questions == 3:
            raise NobodyWaits

    with pytest.raises(NobodyWaits):
        search(asked_of(large_kit()), Work(go_on=go_on))
    assert questions == 3


def test_coarser_lengths_are_tried_from_the_finest_on() -> None:
    assert list(RESOLUTIONS_MM) == sorted(RESOLUTIONS_MM)
    fine, coarse = (search(asked_of(many_parts(1)), Work(left=left)).plan for left in (MOST_WORK, MOST_WORK // 8))
    assert fine.resolution < coarse.resolution
    assert coarse.work <= MOST_WORK // 8


def test_a_refusal_makes_one_plan_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a kit with many tubes the coarsest lengths are counted first: where they are too many, nothing finer is."""
    made: list[float] = []

    class Counted(Stacks):
        def __init__(self, *given: Any) -> None:
            made.append(given[-1])
            super().__init__(*given)

    monkeypatch.setattr("closeup_service.gear.search.framing.Stacks", Counted)
    with pytest.raises(TooManyCandidates):
        search(asked_of(many_parts(1)), Work(left=1000))
    assert made == [RESOLUTIONS_MM[-1]]
