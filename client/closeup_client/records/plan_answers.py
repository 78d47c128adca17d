"""What is answered of `plan`, as frozen records; None where the request does not determine it.

Written by `python -m closeup_service.published` from the service's schemas; not to be edited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from closeup_client.raw import Told
from closeup_client.records.shared_answers import Answer, EstimatedDatum, Range, WorkedAnswer


@dataclass(frozen=True, kw_only=True, repr=False)
class MagnificationAnswer(WorkedAnswer):
    """The magnification and what goes with it.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    magnification : number or None
        Size on the sensor over size of the subject.
    extension_mm : number or None
        Extension that gives this magnification. [mm]
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    steps : tuple of Step
        The steps of the sum, in their order; present where show_steps is true.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    magnification: Told
    extension_mm: float | None
    subject_width_mm: float | None
    subject_height_mm: float | None
    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None


@dataclass(frozen=True, kw_only=True)
class RingChain:
    """One chain, from the start to the end.

    Attributes
    ----------
    rings : tuple of text
        The rings in order: ids of the kit, and descriptions of rings of standard sizes.
    buy : tuple of text
        Those of them that must be bought.
    extension_mm : number or None
        Total thickness; None where that of a ring to be bought is not known, see assumed. [mm]
    steps_below : whole number
        Threads on the way below the lens's own.
    narrowest_mm : number or None
        Narrowest opening: a clear diameter, or a thread where none is known. [mm]
    infinity_focus : text or None
        Whether a lens keeps infinity focus; None but between a lens's and a body's mount. One of: kept, too-long, too-
        short.
    """

    rings: tuple[str, ...]
    buy: tuple[str, ...]
    extension_mm: float | None
    steps_below: int
    narrowest_mm: float | None
    infinity_focus: str | None


@dataclass(frozen=True, kw_only=True, repr=False)
class RingChainsAnswer(Answer):
    """The chains that join the two ends, best first; none where nothing does.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    chains : tuple of RingChain
        Fewest parts first, then without steps below the lens's own thread, then shortest.
    infinity_extension_mm : number or None
        Thickness that keeps infinity focus: register of the lens's mount less the camera's; None between other ends.
        [mm]
    kit_revision : text
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    chains: tuple[RingChain, ...]
    infinity_extension_mm: float | None
    kit_revision: str


@dataclass(frozen=True, kw_only=True)
class Criteria:
    """What makes up a score; less is better.

    Attributes
    ----------
    framing : number
        How far the frame is from the subject's size.
    aperture : number
        How far the aperture is from the best one.
    detail : number
        How coarse the resolved detail is.
    working_distance : number
        How near the subject stands.
    light : number
        How much light is lost.
    frames : number
        How many frames are stacked.
    parts : number
        How many parts and rings there are.
    """

    framing: float
    aperture: float
    detail: float
    working_distance: float
    light: float
    frames: float
    parts: float


@dataclass(frozen=True, kw_only=True)
class SearchHit:
    """One set-up that fills the frame, with its figures as /v1/set-ups/evaluate gives them.

    Attributes
    ----------
    coverage : number or None
        Share of the lenses of the class for which a figure lies within its range; present with ranges.
    estimated : Mapping of EstimatedDatum or None
        Each datum of a lens that was estimated, by its JSON pointer, with its range.
    ranges : Mapping of Range or None
        Range of each figure that depends on estimated data, by its dotted name; the figure itself is the median. A
        figure without a range does not depend on them.
    measure_first : tuple of text or None
        Dotted names of figures that are None because lenses of the class differ too much to tell one.
    parts : tuple of text
        Parts by their ids with what is chosen of each, subject first.
    score : number
        Sum of the criteria; less is better.
    criteria : Criteria
        What makes up a score; less is better.
    magnification : number or None
        Size on the sensor over size of the subject.
    subject_width_mm : number or None
        Width of the subject that fills the sensor. [mm]
    subject_height_mm : number or None
        Height of the subject that fills the sensor. [mm]
    working_distance_mm : number or None
        Front joining face of the set-up to the subject. [mm]
    clearance_mm : number or None
        What is left between the subject and what stands out in front. [mm]
    rig_length_mm : number or None
        Front joining face of the set-up to the sensor. [mm]
    effective_f_number : number or None
        f-number that the sensor really sees, 1/(2 sin u').
    light_loss_stops : number or None
        Light lost against the marked f-number; negative is a gain. [stops]
    subject_resolution_um : number or None
        Least distance resolved on the subject by Rayleigh's criterion. [um]
    total_mm : number or None
        Depth of field in all. [mm]
    stack_frames : whole number or None
        Frames of a stack over the subject's depth.
    document : Mapping
        A complete set-up document, which /v1/set-ups/evaluate takes as it is.
    kit_document : Mapping or None
        A complete set-up document, which /v1/set-ups/evaluate takes as it is.
    chance : number or None
        Share of the lenses that the estimated ones may be with which the set-up of the document fills the frame within
        the tolerance; present where a lens is estimated.
    """

    coverage: float | None = None
    estimated: Mapping[str, EstimatedDatum] | None = field(default=None, hash=False)
    ranges: Mapping[str, Range] | None = field(default=None, hash=False)
    measure_first: tuple[str, ...] | None = None
    parts: tuple[str, ...]
    score: float
    criteria: Criteria
    magnification: Told
    subject_width_mm: Told
    subject_height_mm: Told
    working_distance_mm: float | None
    clearance_mm: float | None
    rig_length_mm: float | None
    effective_f_number: float | None
    light_loss_stops: float | None
    subject_resolution_um: float | None
    total_mm: float | None
    stack_frames: int | None
    document: Mapping[str, Any] = field(hash=False)
    kit_document: Mapping[str, Any] | None = field(default=None, hash=False)
    chance: float | None = None


@dataclass(frozen=True, kw_only=True)
class Relaxation:
    """A wish that nothing meets, and what comes nearest to it.

    Attributes
    ----------
    wish : text
        Member of the request to relax. One of: least_working_distance_mm, least_clearance_mm,
        largest_subject_resolution_um, most_stack_frames, largest_light_loss_stops, longest_rig_mm, tolerance.
    asked : number
        What was asked, in the wish's own unit.
    nearest : number or None
        What the nearest set-up reaches, in the wish's own unit.
    miss : number or None
        By how much that misses, in the wish's own unit.
    hit : SearchHit
        One set-up that fills the frame, with its figures as /v1/set-ups/evaluate gives them.
    """

    wish: str
    asked: float
    nearest: float | None
    miss: float | None
    hit: SearchHit


@dataclass(frozen=True, kw_only=True)
class Purchase:
    """One part that closes the gap when it is bought.

    Attributes
    ----------
    part : text
        Id in the kit, or the part in words.
    in_kit : True or False
        Whether the kit lists it, as not owned.
    price : number or None
        Price in the currency of the kit.
    hit : SearchHit
        One set-up that fills the frame, with its figures as /v1/set-ups/evaluate gives them.
    """

    part: str
    in_kit: bool
    price: float | None
    hit: SearchHit


@dataclass(frozen=True, kw_only=True, repr=False)
class SearchAnswer(Answer):
    """What was found, best first; the Pareto front; and, where nothing meets the wishes, what would.

    Attributes
    ----------
    assumed : Mapping
        Value used for each datum that was not given: a number or a word, by name or by JSON pointer.
    remarks : tuple of Remark
        What is worth knowing about this answer.
    cautions : tuple of Caution
        The usual cautions that apply here, people first.
    magnification : number
        Magnification that fills the frame exactly.
    arrangements : whole number
        Arrangements of the kit's parts that were gone through: front parts times stacks of different length behind
        them.
    framed : whole number
        Arrangements that fill the frame.
    meeting : whole number
        Set-ups, each an arrangement at one mark, that meet every wish.
    hits : tuple of SearchHit
        The best by score.
    pareto : tuple of SearchHit
        Set-ups that none beats in working distance, resolved detail and light loss at once, best score first.
    relaxations : tuple of Relaxation
        Where nothing meets all wishes: which to relax, and by how much.
    purchase : Purchase or None
        One part that closes the gap when it is bought.
    kit_revision : text
        Revision of the kit that was used: a hash that changes with what the kit says.
    raw : Mapping
        The object as the service sent it, with members that this client does not know.
    """

    magnification: float
    arrangements: int
    framed: int
    meeting: int
    hits: tuple[SearchHit, ...]
    pareto: tuple[SearchHit, ...]
    relaxations: tuple[Relaxation, ...]
    purchase: Purchase | None = None
    kit_revision: str
