"""The search against every arrangement spelled out and evaluated one by one, on small random kits."""

import math
import random
from typing import Any

import pytest

from brute_search import Brute, shown
from closeup_service.gear.search.arrangements import document_of, search
from closeup_service.gear.search.found import Candidate
from closeup_service.gear.search.request import ARRANGEMENTS, ASSUMED_WISHES, Request
from closeup_service.gear.search.work import Work
from closeup_service.schemas.kit import read_kit
from closeup_service.set_ups.set_up import evaluate
from small_kits import kit as small_kit
from thoroughness import up_to

KITS = up_to(200)
SIDES = {"least": 1, "largest": -1, "most": -1, "longest": -1}
FIGURES = {
    "least_working_distance_mm": "working_distance_mm",
    "least_clearance_mm": "clearance_mm",
    "largest_subject_resolution_um": "subject_resolution_um",
    "most_stack_frames": "stack_frames",
    "largest_light_loss_stops": "light_loss_stops",
    "longest_rig_mm": "rig_length_mm",
}
WISHED = {
    "least_working_distance_mm": (20.0, 120.0),
    "least_clearance_mm": (20.0, 120.0),
    "largest_subject_resolution_um": (3.0, 20.0),
    "most_stack_frames": (1.0, 9.0),
    "largest_light_loss_stops": (0.5, 3.0),
    "longest_rig_mm": (80.0, 300.0),
}


def question(seed: int) -> tuple[Request, Brute]:
    draw = random.Random(1000 + seed)
    kit = read_kit(small_kit(seed), "request")
    camera = kit.cameras_by_id["camera"]
    wanted = draw.choice([0.2, 0.5, 1.0, 1.7])
    tolerance = draw.choice([0.05, 0.1, 0.3])
    depth = draw.choice([None, 0.5, 3.0])
    wishes = {name: draw.uniform(*WISHED[name]) for name in draw.sample(sorted(WISHED), draw.randint(0, 2))}
    if "most_stack_frames" in wishes:
        wishes["most_stack_frames"] = float(round(wishes["most_stack_frames"]))
    dropped = set(draw.sample(ARRANGEMENTS, draw.choice([0, 0, 1])))
    arrangements = frozenset(ARRANGEMENTS) - dropped
    assumed = frozenset(ASSUMED_WISHES).difference(wishes)
    wishes = ASSUMED_WISHES | wishes
    asked = Request(kit, camera, wanted, tolerance, wishes, depth, arrangements, 100_000, 60, {}, assumed)
    return asked, Brute(kit, camera, wanted, tolerance, arrangements, depth)


def name_of(candidate: Candidate) -> tuple[str, ...]:
    return tuple("|".join(f"{key}={shown(key, value)}" for key, value in sorted(use.items())) for use in candidate.uses)


def miss(asked: Request, row: Any, wish: str) -> float:
    value, limit = row[FIGURES[wish]], asked.wishes[wish]
    if math.isnan(value):
        return -math.inf if wish in asked.assumed_wishes else math.inf
    return float(SIDES[wish.split("_", maxsplit=1)[0]] * (limit - value))


def score(asked: Request, row: Any) -> float:
    """The formula of the description, written out once more."""
    working, loss, frames = row["working_distance_mm"], row["light_loss_stops"], row["stack_frames"]
    total = 4 * abs(math.log2(asked.magnification / row["magnification"])) + aperture(asked, row)
    total += math.log2(1 + row["subject_resolution_um"]) / 2
    total += 2 if math.isnan(working) else math.log2(1 + 100 / working) / 2
    total += 0 if math.isnan(loss) else max(0, loss) / 4
    total += 0 if math.isnan(frames) else math.log2(frames) / 4
    return float(total + 0.05 * row["parts"])


def aperture(asked: Request, row: Any) -> float:
    if asked.subject_depth_mm and asked.wishes.get("most_stack_frames", 1) == 1:
        best = row["magnification"] * math.sqrt(asked.subject_depth_mm / (4.87868 * 550e-6))
        return abs(math.log2(row["effective"] / best))
    if not row["places"]:
        return 0.0
    governs = row["stop"] in row["places"]
    use = row["used"][row["stop"] if governs else row["places"][-1]]
    lens: Any = asked.kit.by_id[use["use"]]
    setting = lens.setting(use["setting"]) if "setting" in use else lens.settings[0]
    off = {mark.nominal: round(abs(math.log2(mark.exact / (2 * setting.marks[0].exact))), 9) for mark in setting.marks}
    best = setting.sharp_from_f_number or min(off, key=lambda mark: (off[mark], -mark))
    if governs:
        return abs(math.log2(use["f_number"] / best))
    return abs(math.log2(as_if_marked(asked, row, use) / best))


def as_if_marked(asked: Request, row: Any, use: Any) -> float:
    """Mark at which the lens's iris alone would let as little light through."""
    brute = Brute(asked.kit, asked.camera, 1, 1, frozenset(), None)
    low, high = 0.01, 4096.0
    for _ in range(80):
        middle = math.sqrt(low * high)
        document = brute.plain(row["used"])
        document["train"][row["places"][-1]] = {**document["train"][row["places"][-1]], "f_number": middle}
        try:
            governs = evaluate(document).aperture_stop == row["places"][-1]
        except ValueError:
            governs = False
        low, high = (low, middle) if governs else (middle, high)
    return float(low)


@pytest.mark.parametrize("seed", range(KITS))
def test_the_search_finds_what_brute_force_finds_in_the_same_order(seed: int) -> None:
    asked, brute = question(seed)
    rows = list(brute.rows())
    met = [row for row in rows if all(miss(asked, row, wish) <= 0 for wish in asked.wishes)]
    found = search(asked, Work()).found
    if not rows:
        assert (found.hits, found.framed) == (0, 0)
        return
    assert sorted(map(figures_of, found.best)) == sorted(map(figures_of_row, met))
    scores = {name_of(candidate): candidate.score for candidate in found.best}
    same = [row for row in met if row["name"] in scores]
    assert len(same) >= len(met) / 2  # the rest are as good, of other parts: ties are nobody's promise
    for row in same:
        assert scores[row["name"]] == pytest.approx(score(asked, row), abs=1e-5), row["name"]
    assert [candidate.score for candidate in found.best] == sorted(candidate.score for candidate in found.best)
    assert sorted(map(figures_of, found.pareto)) == sorted(front(met))
    if not met:
        check_nearest(asked, rows, found)


def figures_of(candidate: Candidate) -> tuple[str, ...]:
    """What a set-up does: those that differ in nothing else than this are the same."""
    figures = (
        candidate.magnification,
        candidate.working_distance_mm,
        candidate.resolution_um,
        candidate.light_loss_stops,
    )
    return tuple(f"{round(figure, 4) + 0.0:.4f}" for figure in (*figures, candidate.parts))


def figures_of_row(row: Any) -> tuple[str, ...]:
    names = ("magnification", "working_distance_mm", "subject_resolution_um", "light_loss_stops", "parts")
    return tuple(f"{round(row[name], 4) + 0.0:.4f}" for name in names)


def front(rows: list[Any]) -> list[tuple[str, ...]]:
    known = [(key(row), row) for row in rows if not any(map(math.isnan, key(row)))]
    kept: dict[tuple[float, ...], Any] = {}
    for own, row in known:
        if any(all(a <= b for a, b in zip(other, own, strict=True)) and other != own for other, _ in known):
            continue
        old = kept.get(own)
        if old is None or (row["parts"], row["name"]) < (old["parts"], old["name"]):
            kept[own] = row
    return [figures_of_row(row) for row in kept.values()]


def key(row: Any) -> tuple[float, ...]:
    names = ("working_distance_mm", "subject_resolution_um", "light_loss_stops")
    return tuple(round(sign * row[name], 8) for sign, name in zip((-1, 1, 1), names, strict=True))


def check_nearest(asked: Request, rows: list[Any], found: Any) -> None:
    for wish in asked.wishes:
        others = [name for name in asked.wishes if name != wish]
        alone = [miss(asked, row, wish) for row in rows if all(miss(asked, row, other) <= 0 for other in others)]
        assert (wish in found.nearest) == bool(alone)
        if alone:
            assert found.nearest[wish][0] == pytest.approx(min(alone), rel=1e-6)


@pytest.mark.parametrize("seed", range(0, KITS, 4))
def test_every_hit_is_a_document_that_evaluate_confirms(seed: int) -> None:
    asked, _ = question(seed)
    for candidate in search(asked, Work()).found.best[:40]:
        result = evaluate(document_of(asked, candidate.uses))
        assert result.magnification == pytest.approx(candidate.magnification, rel=1e-12)
        if not math.isnan(candidate.working_distance_mm):
            assert result.working_distance_mm == pytest.approx(candidate.working_distance_mm, rel=1e-12, abs=1e-11)
        if not math.isnan(candidate.light_loss_stops):
            assert result.light_loss_stops == pytest.approx(candidate.light_loss_stops, rel=1e-12, abs=1e-12)
