"""Answers of `plan`, as they are made.

Written by `python -m closeup_service.published.record_types` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Required, TypedDict

from closeup_service.records.shared_answers import Answer


class MagnificationAnswer(Answer, total=False):
    """The magnification and what goes with it."""

    magnification: Required[float]
    extension_mm: Required[float | None]
    subject_width_mm: Required[float | None]
    subject_height_mm: Required[float | None]


class RingChain(TypedDict, total=False):
    """One chain, from the start to the end."""

    rings: Required[Sequence[str]]
    buy: Required[Sequence[str]]
    extension_mm: Required[float | None]
    steps_below: Required[int]
    narrowest_mm: Required[float | None]
    infinity_focus: Required[str | None]


class RingChainsAnswer(Answer, total=False):
    """The chains that join the two ends, best first; none where nothing does."""

    chains: Required[Sequence[RingChain]]
    infinity_extension_mm: Required[float | None]
    kit_revision: Required[str]


class Criteria(TypedDict, total=False):
    """What makes up a score; less is better."""

    framing: Required[float]
    aperture: Required[float]
    detail: Required[float]
    working_distance: Required[float]
    light: Required[float]
    frames: Required[float]
    parts: Required[float]


class SearchHit(TypedDict, total=False):
    """One set-up that fills the frame, with its figures as /v1/set-ups/evaluate gives them."""

    parts: Required[Sequence[str]]
    score: Required[float]
    criteria: Required[Criteria]
    magnification: Required[float]
    subject_width_mm: Required[float]
    subject_height_mm: Required[float]
    working_distance_mm: Required[float | None]
    clearance_mm: Required[float | None]
    rig_length_mm: Required[float | None]
    effective_f_number: Required[float | None]
    light_loss_stops: Required[float | None]
    subject_resolution_um: Required[float | None]
    total_mm: Required[float | None]
    stack_frames: Required[int | None]
    document: Required[Mapping[str, Any]]


class Relaxation(TypedDict, total=False):
    """A wish that nothing meets, and what comes nearest to it."""

    wish: Required[str]
    asked: Required[float]
    nearest: Required[float | None]
    miss: Required[float | None]
    hit: Required[SearchHit]


class Purchase(TypedDict, total=False):
    """One part that closes the gap when it is bought."""

    part: Required[str]
    in_kit: Required[bool]
    price: Required[float | None]
    hit: Required[SearchHit]


class SearchAnswer(Answer, total=False):
    """What was found, best first; the Pareto front; and, where nothing meets the wishes, what would."""

    magnification: Required[float]
    arrangements: Required[int]
    framed: Required[int]
    meeting: Required[int]
    hits: Required[Sequence[SearchHit]]
    pareto: Required[Sequence[SearchHit]]
    relaxations: Required[Sequence[Relaxation]]
    purchase: Purchase
    kit_revision: Required[str]
