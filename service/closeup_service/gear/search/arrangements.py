"""Search: every arrangement of a kit's parts that fills the frame, at every mark of its rings.

Framing comes first, in closed form, and the apertures only for what frames; both by columns, block by block, so that
memory is bounded by the blocks and not by the kit. All is counted before it is done (`search_work`).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from typing import TYPE_CHECKING, cast

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.kit_parts import CAMERA_MEMBERS, expand, known_members
from closeup_service.gear.search.apertures import ROWS_PER_BLOCK, Distances, distances_of, figures_of
from closeup_service.gear.search.found import Found
from closeup_service.gear.search.framing import Plan, plan_search
from closeup_service.gear.search.fronts import Fronts, fronts_of
from closeup_service.gear.search.joints import Joints, Use
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.score import Scored, miss, score_rows, select_met
from closeup_service.gear.search.units import usable_parts
from closeup_service.gear.search.work import MOST_FRONTS, WORK_PER_FRONT, TooManyCandidates, Work, refusal_of_size
from closeup_service.language import tr
from closeup_service.optics.arithmetic import BoolArray, IntArray
from closeup_service.set_ups.set_up import criterion_of_set_up

if TYPE_CHECKING:
    from closeup_service.records import requests

WIDER = (0.1, 0.25, 0.5, 0.9)
"""Tolerances to try, one after the other, where nothing fills the frame."""

MARKS_AT_MOST = 64
NEAREST_AT_ONCE = 64


class Result(Struct, frozen=True):
    """What was found, and how much was looked at; where nothing fills the frame, `wider` is what comes nearest to it.

    `cut` says that the nearest was not sought as widely as usual, since the kit is too large for that.
    """

    found: Found
    wider: Found | None
    plan: Plan
    cut: bool = False


def search(request: Request, work: Work) -> Result:
    """Search the kit; where nothing fills the frame, what comes nearest to filling it.

    Raises
    ------
    TooManyCandidates
        Before anything is framed.
    NobodyWaits
        As soon as nobody waits for the result.
    """
    joints, groups = prepare(request, work)
    plan = plan_search(request, joints, groups, work)
    work.take(plan.work)
    found = hits_of(request, plan, work)
    if found.hits:
        return Result(found, None, plan)
    if found.framed:
        return Result(search_plan(request, plan, work, Found.add_misses), None, plan)
    return seek_nearest(request, joints, groups, Result(found, None, plan), work)


def prepare(request: Request, work: Work) -> tuple[Joints, list[Fronts]]:
    """Joints of the kit, and all front parts.

    Raises
    ------
    TooManyCandidates
        Where there are too many of either.
    """
    count = count_fronts(request)
    if count > MOST_FRONTS:
        raise refusal_of_size(
            tr(
                "Lenses and what stands before and behind them can be joined in up to {count} ways, and one search "
                "goes through {most_fronts}.",
                count=count,
                most_fronts=MOST_FRONTS,
            )
        )
    work.begin(count * WORK_PER_FRONT)
    joints = Joints(request.kit)
    with np.errstate(all="ignore"):
        return joints, list(fronts_of(request, joints))


def count_fronts(request: Request) -> int:
    """Front parts, by counting alone: lenses at every setting, what stands before them, and converters."""
    kit = request.kit
    settings = sum(len(lens.settings) for lens in usable_parts(kit.lenses))
    close_ups = len(usable_parts(kit.close_up_lenses)) if request.allows("close-up-lens") else 0
    objectives = len(usable_parts(kit.objectives)) if request.allows("objective") else 0
    before = close_ups * close_ups + objectives + (settings if request.allows("coupled") else 0)
    fronts = settings * (request.allows("normal") + request.allows("reversed") + before) + objectives
    converters = len(usable_parts(kit.converters)) if request.allows("converter") else 0
    return int(fronts * (1 + converters))


def hits_of(request: Request, plan: Plan, work: Work) -> Found:
    """What meets every wish; what cannot at any aperture is left out early."""
    return search_plan(request, plan, work, Found.add_hits, hits_alone=True)


def search_plan(
    request: Request, plan: Plan, work: Work, take_in: Callable[[Found, Scored], None], *, hits_alone: bool = False
) -> Found:
    """Go through every arrangement once, and take in all that fills the frame, or what meets every wish alone."""
    criterion = criterion_of_set_up(document_of(request, ()), {})
    found = Found(request)
    with np.errstate(all="ignore"):
        for rows in plan.frame(request):
            work.go_on()
            distances = distances_of(request, rows)
            found.framed += int(distances.possible.sum())
            wanted = (
                distances.possible & select_near(request, distances, request.wishes)
                if hits_alone
                else distances.possible
            )
            for block in blocks_of(distances, np.flatnonzero(wanted)):
                figures = figures_of(request, criterion, block)
                if hits_alone:
                    figures = figures.take_rows(np.flatnonzero(select_met(request, figures)))
                if len(figures.row):
                    take_in(found, score_rows(request, criterion, figures))
    return found


def select_near(request: Request, distances: Distances, wishes: Collection[str]) -> BoolArray:
    """Rows that meet those of the wishes that no aperture changes."""
    met = np.ones(len(distances.magnification), dtype=bool)
    for wish, column in (
        ("least_working_distance_mm", distances.working),
        ("least_clearance_mm", distances.clearance),
        ("longest_rig_mm", distances.rig),
    ):
        if wish in wishes:
            met &= miss(request, wish, column) <= 0
    return met


def blocks_of(distances: Distances, wanted: IntArray) -> Iterator[Distances]:
    """Yield the rows wanted in blocks that stay small with every mark of their rings."""
    size = ROWS_PER_BLOCK // MARKS_AT_MOST
    for start in range(0, len(wanted), size):
        yield distances.take_rows(wanted[start : start + size])


def seek_nearest(request: Request, joints: Joints, groups: list[Fronts], result: Result, work: Work) -> Result:
    """Seek what comes nearest to filling the frame."""
    for tolerance in (each for each in WIDER if each > request.tolerance):
        wider = replace(request, tolerance=tolerance)
        try:
            plan = plan_search(wider, joints, groups, work, every_mark=False)
        except TooManyCandidates:
            return replace(result, cut=True)
        work.take(plan.work)
        found = nearest_frame(wider, plan, work)
        if found.nearest_frame:
            return replace(result, wider=found)
    return result


def nearest_frame(request: Request, plan: Plan, work: Work) -> Found:
    """What comes nearest to filling the frame, at its best aperture: the nearest first, until one has an aperture."""
    criterion = criterion_of_set_up(document_of(request, ()), {})
    found = Found(request)
    with np.errstate(all="ignore"):
        for rows in plan.frame(request):
            work.go_on()
            distances = distances_of(request, rows)
            off = np.abs(request.magnification / distances.magnification - 1)
            order = np.flatnonzero(
                distances.possible & select_near(request, distances, {"least_clearance_mm"} & {*request.wishes})
            )
            order = order[np.argsort(off[order], kind="stable")]
            for start in range(0, len(order), NEAREST_AT_ONCE):
                figures = figures_of(request, criterion, distances.take_rows(order[start : start + NEAREST_AT_ONCE]))
                if len(figures.row):
                    found.add_framed(score_rows(request, criterion, figures))
                    break
    return found


def document_of(request: Request, uses: tuple[Use, ...]) -> requests.FrameSetUp:
    """Complete set-up document of parts as they are used, each described in full."""
    train = [{"element": "kit-part", **use} for use in uses]
    depth = {} if request.subject_depth_mm is None else {"subject_depth_mm": request.subject_depth_mm}
    sent = {"camera": known_members(request.camera, CAMERA_MEMBERS), "train": train, **request.light, **depth}
    return expand(cast("requests.FrameSetUp", sent), request.kit)


def kit_document_of(request: Request, uses: tuple[Use, ...]) -> dict[str, object]:
    """Complete set-up document of parts by their ids in the kit, the camera too where it is the kit's."""
    train = [{"element": "kit-part", **use} for use in uses]
    depth = {} if request.subject_depth_mm is None else {"subject_depth_mm": request.subject_depth_mm}
    return {"camera": camera_by_id(request), "train": train, **request.light, **depth}


def camera_by_id(request: Request) -> Mapping[str, object]:
    """Camera of the kit by its id, with what is stated of it in place of the kit's; else what is described."""
    camera, held = request.camera, request.kit.cameras_by_id.get(request.camera.id)
    blur = camera.circle_of_confusion_mm
    if held is None or replace(held, circle_of_confusion_mm=blur) != camera:
        return known_members(camera, CAMERA_MEMBERS)
    return {"use": held.id} if held == camera else {"use": held.id, "circle_of_confusion_mm": blur}
