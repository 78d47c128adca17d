"""Search: every arrangement of a kit's parts that fills the frame, at every mark of its rings.

Framing comes first, in closed form, and the apertures only for what frames; both by columns, block by block, so that
memory is bounded by the blocks and not by the kit.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from closeup_service.gear.kit_parts import CAMERA_MEMBERS, expanded, known
from closeup_service.gear.search_apertures import ROWS_PER_BLOCK, Distances, distances_of, figures_of
from closeup_service.gear.search_asked import MOST_CANDIDATES, Asked
from closeup_service.gear.search_found import Found
from closeup_service.gear.search_framing import framed
from closeup_service.gear.search_fronts import fronts_of
from closeup_service.gear.search_joints import Joints, Use
from closeup_service.gear.search_score import Scored, meets_all, scored
from closeup_service.gear.search_stacks import Stacks
from closeup_service.gear.search_units import usable
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.set_up import criterion_of_document

WIDER = (0.1, 0.25, 0.5, 0.9)
"""Tolerances to try, one after the other, where nothing fills the frame."""

MARKS_AT_MOST = 64


class TooManyCandidates(OpticsError):
    """A kit with more arrangements than one search frames."""

    code = "too-many-candidates"


@dataclass(frozen=True, slots=True)
class Result:
    """What was found, and how much was looked at; where nothing fills the frame, `wider` is what comes nearest to it."""

    found: Found
    wider: Found | None
    arrangements: int


def search(asked: Asked) -> Result:
    """Search the kit; where nothing fills the frame, what comes nearest to filling it.

    Raises
    ------
    TooManyCandidates
        Before anything is framed.
    """
    count = arrangements_of(asked)
    refuse_too_many(count)
    joints = Joints(asked.kit)
    found = hits_of(asked, joints)
    if found.hits:
        return Result(found, None, count)
    if found.framed:
        return Result(through(asked, joints, Found.add_misses), None, count)
    for tolerance in (each for each in WIDER if each > asked.tolerance):
        wider = through(replace(asked, tolerance=tolerance), joints, Found.add_framed)
        if wider.nearest_frame:
            return Result(found, wider, count)
    return Result(found, None, count)


def hits_of(asked: Asked, joints: Joints) -> Found:
    """What meets every wish; what cannot at any aperture is left out early."""
    return through(asked, joints, Found.add_hits, hits_alone=True)


def through(
    asked: Asked, joints: Joints, take_in: Callable[[Found, Scored], None], *, hits_alone: bool = False
) -> Found:
    """Go through every arrangement once, and take in all that fills the frame, or what meets every wish alone."""
    criterion = criterion_of_document(document_of(asked, ()), {})
    kit = asked.kit
    tubes = usable(kit.tubes) if asked.allows("tubes") else []
    bellows = usable(kit.bellows) if asked.allows("bellows") else []
    found = Found(asked.best)
    with np.errstate(all="ignore"):
        groups = list(fronts_of(asked, joints))
        for rows in framed(asked, Stacks(joints, tubes, bellows), joints, groups):
            distances = distances_of(asked, rows)
            found.framed += int(distances.possible.sum())
            wanted = distances.possible & near_enough(asked, distances) if hits_alone else distances.possible
            for block in blocks_of(distances, np.flatnonzero(wanted)):
                figures = figures_of(asked, criterion, block)
                if hits_alone:
                    figures = figures.taken(np.flatnonzero(meets_all(asked, figures)))
                if len(figures.row):
                    take_in(found, scored(asked, criterion, figures))
    return found


def near_enough(asked: Asked, distances: Distances) -> Any:
    """Rows that meet the wishes that no aperture changes."""
    met = np.ones(len(distances.magnification), dtype=bool)
    for wish, column, side in (
        ("least_working_distance_mm", distances.working, 1),
        ("least_clearance_mm", distances.clearance, 1),
        ("longest_rig_mm", distances.rig, -1),
    ):
        if wish in asked.wishes:
            met &= side * (column - asked.wishes[wish]) >= 0
    return met


def blocks_of(distances: Distances, wanted: Any) -> Iterator[Distances]:
    """Yield the rows wanted in blocks that stay small with every mark of their rings."""
    size = ROWS_PER_BLOCK // MARKS_AT_MOST
    for start in range(0, len(wanted), size):
        yield distances.taken(wanted[start : start + size])


def arrangements_of(asked: Asked) -> int:
    """Arrangements of a kit, by counting alone: fronts, converters, and sets of tubes with or without bellows."""
    kit = asked.kit
    settings = sum(len(lens.settings) for lens in usable(kit.lenses))
    close_ups = len(usable(kit.close_up_lenses)) if asked.allows("close-up-lens") else 0
    objectives = len(usable(kit.objectives)) if asked.allows("objective") else 0
    before = close_ups * close_ups + objectives + (settings if asked.allows("coupled") else 0)
    fronts = settings * (asked.allows("normal") + asked.allows("reversed") + before) + objectives
    converters = 2 * len(usable(kit.converters)) if asked.allows("converter") else 0
    tubes = len(usable(kit.tubes)) if asked.allows("tubes") else 0
    bellows = len(usable(kit.bellows)) if asked.allows("bellows") else 0
    return int(fronts * (1 + converters) * 2**tubes * (1 + bellows))


def is_too_large(count: int) -> bool:
    """Whether a kit has more arrangements than one search goes through."""
    return count > MOST_CANDIDATES


def refuse_too_many(count: int) -> None:
    """Refuse before computing."""
    if is_too_large(count):
        raise TooManyCandidates(
            f"This kit can be put together in {count} ways, and one search goes through {MOST_CANDIDATES} at most. Allow fewer "
            "arrangements, or mark parts that need not be looked at as not available.",
            "/arrangements",
        )


def document_of(asked: Asked, uses: tuple[Use, ...]) -> dict[str, Any]:
    """Complete set-up document of parts as they are used, each described in full."""
    train = [{"element": "kit-part", **use} for use in uses]
    depth = {} if asked.subject_depth_mm is None else {"subject_depth_mm": asked.subject_depth_mm}
    sent = {"camera": known(asked.camera, CAMERA_MEMBERS), "train": train, **asked.light, **depth}
    return dict(expanded(sent, asked.kit))
