"""Search: every arrangement of a kit's parts that fills the frame, at every mark of its rings.

Framing comes first, in closed form, and the apertures only for what frames; both by columns, block by block, so that
memory is bounded by the blocks and not by the kit. All is counted before it is done (`search_work`).
"""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from closeup_service.gear.kit_parts import CAMERA_MEMBERS, expanded, known
from closeup_service.gear.search.apertures import ROWS_PER_BLOCK, Distances, distances_of, figures_of
from closeup_service.gear.search.asked import Asked
from closeup_service.gear.search.found import Found
from closeup_service.gear.search.framing import Plan, planned
from closeup_service.gear.search.fronts import Fronts, fronts_of
from closeup_service.gear.search.joints import Joints, Use
from closeup_service.gear.search.score import Scored, meets_all, missed_by, scored
from closeup_service.gear.search.units import usable
from closeup_service.gear.search.work import MOST_FRONTS, TooManyCandidates, Work, too_many
from closeup_service.optics.set_up import criterion_of_document

WIDER = (0.1, 0.25, 0.5, 0.9)
"""Tolerances to try, one after the other, where nothing fills the frame."""

MARKS_AT_MOST = 64
NEAREST_AT_ONCE = 64


@dataclass(frozen=True, slots=True)
class Result:
    """What was found, and how much was looked at; where nothing fills the frame, `wider` is what comes nearest to it.

    `cut` says that the nearest was not sought as widely as usual, since the kit is too large for that.
    """

    found: Found
    wider: Found | None
    plan: Plan
    cut: bool = False


def search(asked: Asked, work: Work) -> Result:
    """Search the kit; where nothing fills the frame, what comes nearest to filling it.

    Raises
    ------
    TooManyCandidates
        Before anything is framed.
    NobodyWaits
        As soon as nobody waits for the result.
    """
    joints, groups = prepared(asked)
    plan = planned(asked, joints, groups, work)
    work.take(plan.work)
    found = hits_of(asked, plan, work)
    if found.hits:
        return Result(found, None, plan)
    if found.framed:
        return Result(through(asked, plan, work, Found.add_misses), None, plan)
    return nearest_of(asked, joints, groups, Result(found, None, plan), work)


def prepared(asked: Asked) -> tuple[Joints, list[Fronts]]:
    """Joints of the kit, and all front parts.

    Raises
    ------
    TooManyCandidates
        Where there are too many of either.
    """
    count = fronts_at_most(asked)
    if count > MOST_FRONTS:
        raise too_many(
            f"Lenses and what stands before and behind them can be joined in up to {count} ways, and one search "
            f"goes through {MOST_FRONTS}."
        )
    joints = Joints(asked.kit)
    with np.errstate(all="ignore"):
        return joints, list(fronts_of(asked, joints))


def fronts_at_most(asked: Asked) -> int:
    """Front parts, by counting alone: lenses at every setting, what stands before them, and converters."""
    kit = asked.kit
    settings = sum(len(lens.settings) for lens in usable(kit.lenses))
    close_ups = len(usable(kit.close_up_lenses)) if asked.allows("close-up-lens") else 0
    objectives = len(usable(kit.objectives)) if asked.allows("objective") else 0
    before = close_ups * close_ups + objectives + (settings if asked.allows("coupled") else 0)
    fronts = settings * (asked.allows("normal") + asked.allows("reversed") + before) + objectives
    converters = len(usable(kit.converters)) if asked.allows("converter") else 0
    return int(fronts * (1 + converters))


def hits_of(asked: Asked, plan: Plan, work: Work) -> Found:
    """What meets every wish; what cannot at any aperture is left out early."""
    return through(asked, plan, work, Found.add_hits, hits_alone=True)


def through(
    asked: Asked, plan: Plan, work: Work, take_in: Callable[[Found, Scored], None], *, hits_alone: bool = False
) -> Found:
    """Go through every arrangement once, and take in all that fills the frame, or what meets every wish alone."""
    criterion = criterion_of_document(document_of(asked, ()), {})
    found = Found(asked)
    with np.errstate(all="ignore"):
        for rows in plan.framed(asked):
            work.go_on()
            distances = distances_of(asked, rows)
            found.framed += int(distances.possible.sum())
            wanted = (
                distances.possible & near_enough(asked, distances, asked.wishes) if hits_alone else distances.possible
            )
            for block in blocks_of(distances, np.flatnonzero(wanted)):
                figures = figures_of(asked, criterion, block)
                if hits_alone:
                    figures = figures.taken(np.flatnonzero(meets_all(asked, figures)))
                if len(figures.row):
                    take_in(found, scored(asked, criterion, figures))
    return found


def near_enough(asked: Asked, distances: Distances, wishes: Collection[str]) -> Any:
    """Rows that meet those of the wishes that no aperture changes."""
    met = np.ones(len(distances.magnification), dtype=bool)
    for wish, column in (
        ("least_working_distance_mm", distances.working),
        ("least_clearance_mm", distances.clearance),
        ("longest_rig_mm", distances.rig),
    ):
        if wish in wishes:
            met &= missed_by(asked, wish, column) <= 0
    return met


def blocks_of(distances: Distances, wanted: Any) -> Iterator[Distances]:
    """Yield the rows wanted in blocks that stay small with every mark of their rings."""
    size = ROWS_PER_BLOCK // MARKS_AT_MOST
    for start in range(0, len(wanted), size):
        yield distances.taken(wanted[start : start + size])


def nearest_of(asked: Asked, joints: Joints, groups: list[Fronts], result: Result, work: Work) -> Result:
    """Seek what comes nearest to filling the frame."""
    for tolerance in (each for each in WIDER if each > asked.tolerance):
        wider = replace(asked, tolerance=tolerance)
        try:
            plan = planned(wider, joints, groups, work, every_mark=False)
        except TooManyCandidates:
            return replace(result, cut=True)
        work.take(plan.work)
        found = nearest_frame(wider, plan, work)
        if found.nearest_frame:
            return replace(result, wider=found)
    return result


def nearest_frame(asked: Asked, plan: Plan, work: Work) -> Found:
    """What comes nearest to filling the frame, at its best aperture: the nearest first, until one has an aperture."""
    criterion = criterion_of_document(document_of(asked, ()), {})
    found = Found(asked)
    with np.errstate(all="ignore"):
        for rows in plan.framed(asked):
            work.go_on()
            distances = distances_of(asked, rows)
            off = np.abs(asked.magnification / distances.magnification - 1)
            order = np.flatnonzero(
                distances.possible & near_enough(asked, distances, {"least_clearance_mm"} & {*asked.wishes})
            )
            order = order[np.argsort(off[order], kind="stable")]
            for start in range(0, len(order), NEAREST_AT_ONCE):
                figures = figures_of(asked, criterion, distances.taken(order[start : start + NEAREST_AT_ONCE]))
                if len(figures.row):
                    found.add_framed(scored(asked, criterion, figures))
                    break
    return found


def document_of(asked: Asked, uses: tuple[Use, ...]) -> dict[str, object]:
    """Complete set-up document of parts as they are used, each described in full."""
    train = [{"element": "kit-part", **use} for use in uses]
    depth = {} if asked.subject_depth_mm is None else {"subject_depth_mm": asked.subject_depth_mm}
    sent = {"camera": known(asked.camera, CAMERA_MEMBERS), "train": train, **asked.light, **depth}
    return dict(expanded(sent, asked.kit))
