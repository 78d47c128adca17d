"""What the service answers of gear: the kit, chains of rings, and what a search over the kit found; lengths in mm."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.answer import Answer


@dataclass(frozen=True, kw_only=True)
class KitAnswer(Answer):
    """A kit as it was read, its defaults filled in; `origin` is `demo`, `file` or `request`.

    `whole_kit` is the kit to send again where `kit` leaves out what came after release 1.0.0, else None.
    """

    revision: str
    origin: str
    parts: int
    kit: Mapping[str, Any] = field(hash=False)
    whole_kit: Mapping[str, Any] | None = field(default=None, hash=False)


@dataclass(frozen=True, kw_only=True)
class RingChain:
    """Rings in order, from start to end; those in `buy` must be bought. `infinity_focus`: `kept`, `too-long`, `too-short`."""

    rings: tuple[str, ...]
    buy: tuple[str, ...]
    extension_mm: float | None
    steps_below: int
    narrowest_mm: float | None
    infinity_focus: str | None


@dataclass(frozen=True, kw_only=True)
class RingChainsAnswer(Answer):
    """The chains that join two ends, best first, and the thickness in mm that keeps infinity focus between two mounts."""

    chains: tuple[RingChain, ...]
    infinity_extension_mm: float | None
    kit_revision: str


@dataclass(frozen=True, kw_only=True)
class Criteria:
    """What makes up a score; less is better."""

    framing: float
    aperture: float
    detail: float
    working_distance: float
    light: float
    frames: float
    parts: float


@dataclass(frozen=True, kw_only=True)
class SearchHit:
    """One set-up that fills the frame; `document` is what `Client.evaluate` takes as it is."""

    parts: tuple[str, ...]
    score: float
    criteria: Criteria
    magnification: float
    subject_width_mm: float
    subject_height_mm: float
    working_distance_mm: float | None
    clearance_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    light_loss_stops: float | None
    subject_resolution_um: float | None
    total_mm: float | None
    stack_frames: int | None
    document: Mapping[str, Any] = field(hash=False)


@dataclass(frozen=True, kw_only=True)
class Relaxation:
    """A wish that nothing meets, what comes nearest to it, and by how much that misses."""

    wish: str
    asked: float
    nearest: float | None
    miss: float | None
    hit: SearchHit


@dataclass(frozen=True, kw_only=True)
class Purchase:
    """One part that closes the gap when it is bought; `price` is None where it is not known."""

    part: str
    in_kit: bool
    price: float | None
    hit: SearchHit


@dataclass(frozen=True, kw_only=True)
class SearchAnswer(Answer):
    """What a search found: the best by score, the Pareto front, and what to relax where nothing meets the wishes."""

    magnification: float
    arrangements: int
    framed: int
    meeting: int
    hits: tuple[SearchHit, ...]
    pareto: tuple[SearchHit, ...]
    relaxations: tuple[Relaxation, ...]
    purchase: Purchase | None = None
    kit_revision: str
