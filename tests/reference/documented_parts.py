"""The arrangements of a kit, enumerated as the documentation of /v1/set-ups/search spells them out.

Nothing here comes from the search engine. Fronts and stacks are written out one by one; the light behind the front part is
followed by hand, in the formulas of the textbook.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from closeup_service.gear.kit import Bellows, Camera, Converter, Face, Kit, Lens, Part, Ring, Setting, Tube
from closeup_service.gear.kit_parts import expand
from closeup_service.gear.ring_chains import owned_chains

Element: TypeAlias = Mapping[str, Any]

MOUNTING_MM = 10.0
"""The image of a finite-conjugate objective lies this far inside the end of its tube: 160 mm means 150 mm."""


@dataclass(frozen=True)
class Piece:
    """A part of the kit as it stands in the train: its id and its plain element."""

    id: str
    element: Element
    ring: bool = False


@dataclass(frozen=True)
class Iris:
    """A lens of the front part: its place there, its setting, and whether it is mounted normally."""

    place: int
    setting: Setting
    normal: bool


@dataclass(frozen=True)
class Front:
    """A front part: what stands in front, subject first, with a converter directly behind it or not.

    `infinity` is the place of the lens that must be focused at infinity, `design_mm` how far behind the rear face the image
    must lie; None where neither is asked.
    """

    pieces: tuple[Piece, ...]
    rear: Face
    irises: tuple[Iris, ...] = ()
    infinity: int | None = None
    design_mm: float | None = None


@dataclass(frozen=True)
class Tail:
    """The part before the camera: none, or a converter with the rings behind it."""

    pieces: tuple[Piece, ...]
    face: Face

    @property
    def elements(self) -> list[Element]:
        return [piece.element for piece in self.pieces]


@dataclass(frozen=True)
class Stack:
    """Tubes, at most one bellows and rings in their order; the bellows has length 0 here."""

    pieces: tuple[Piece, ...]
    tubes: int
    bellows: Bellows | None
    place: int | None = None

    @property
    def rigid_mm(self) -> float:
        return math.fsum(piece.element["length_mm"] for piece in self.pieces)

    def elements(self, drawn: float) -> list[Element]:
        """Its spacers, the bellows drawn out to this length."""
        spacers = [piece.element for piece in self.pieces]
        if self.place is not None:
            spacers[self.place] = {**spacers[self.place], "length_mm": drawn}
        return spacers


@dataclass
class Bench:
    """A kit before a camera, with what may be used of it."""

    kit: Kit
    camera: Face
    allowed: frozenset[str]
    chains: dict[tuple[Face, Face], tuple[Piece, ...] | None] = field(default_factory=dict)
    stacks_between: dict[tuple[Face, Face], list[Stack]] = field(default_factory=dict)

    def piece(self, part: Part, **used: Any) -> Piece:
        """Part of the kit as it is used."""
        if isinstance(part, Bellows):
            used["length_mm"] = part.minimum_length_mm
        sent: Any = {"camera": {}, "train": [{"element": "kit-part", "use": part.id, **used}]}
        element = dict(expand(sent, self.kit)["train"][0])
        if isinstance(part, Bellows):
            element["length_mm"] = 0.0
        return Piece(part.id, element, isinstance(part, Ring))

    def joined(self, start: Face, end: Face) -> tuple[Piece, ...] | None:
        """The best chain of rings between two faces, no rings where they fit; None where there is none."""
        if (start, end) not in self.chains:
            found = owned_chains(self.kit, start, end, 1).chains
            self.chains[start, end] = tuple(self.piece(ring) for ring in found[0].rings) if found else None
        return self.chains[start, end]

    def fronts(self) -> Iterator[Front]:
        """Everything that can stand in front."""
        if "normal" in self.allowed:
            yield from self.normal_lenses()
        if "reversed" in self.allowed:
            yield from self.reversed_lenses()
        if "objective" in self.allowed:
            yield from self.finite_objectives()
            yield from self.infinity_objectives()
        if {"normal", "close-up-lens"} <= self.allowed:
            yield from self.close_up_lenses()
        if "coupled" in self.allowed:
            yield from self.coupled_lenses()

    def mounted(self) -> Iterator[tuple[Lens, Setting, Piece]]:
        """Lenses with marks whose rear principal plane is known, at each setting."""
        for lens in usable(self.kit.lenses):
            for setting in lens.settings:
                if setting.marks and (setting.register_mm is not None or setting.rear_principal_plane_mm is not None):
                    yield lens, setting, self.piece(lens, setting=setting.id)

    def turned(self) -> Iterator[tuple[Lens, Setting, Piece]]:
        """Lenses with marks and a filter thread, turned round."""
        for lens in usable(self.kit.lenses):
            for setting in lens.settings:
                if setting.marks and lens.front is not None:
                    yield lens, setting, self.piece(lens, setting=setting.id, reversed=True)

    def normal_lenses(self) -> Iterator[Front]:
        for lens, setting, piece in self.mounted():
            yield Front((piece,), lens.rear, (Iris(0, setting, True),))

    def reversed_lenses(self) -> Iterator[Front]:
        for lens, setting, piece in self.turned():
            if setting.front_principal_plane_mm is not None:
                assert lens.front is not None
                yield Front((piece,), lens.front, (Iris(0, setting, False),))

    def finite_objectives(self) -> Iterator[Front]:
        for objective in usable(self.kit.objectives):
            if objective.tube_length_mm is not None:
                design = objective.tube_length_mm - MOUNTING_MM if objective.focal_length_mm is None else None
                yield Front((self.piece(objective),), objective.rear, design_mm=design)

    def before_lens(
        self, before: Sequence[Piece], rear: Face, irises: tuple[Iris, ...], at_infinity: bool
    ) -> Iterator[Front]:
        """These pieces, joined to the filter thread of each lens that stands normally and is not among them."""
        for lens, setting, piece in self.mounted():
            if lens.front is None or lens.id in {each.id for each in before}:
                continue
            rings = self.joined(rear, lens.front)
            if rings is not None:
                pieces = (*before, *rings, piece)
                place = len(pieces) - 1
                unknown = at_infinity or setting.front_principal_plane_mm is None
                yield Front(pieces, lens.rear, (*irises, Iris(place, setting, True)), place if unknown else None)

    def infinity_objectives(self) -> Iterator[Front]:
        for objective in usable(self.kit.objectives):
            if objective.tube_lens_focal_length_mm is not None:
                yield from self.before_lens([self.piece(objective)], objective.rear, (), True)

    def close_up_lenses(self) -> Iterator[Front]:
        """One close-up lens, or two different ones in either order."""
        lenses = usable(self.kit.close_up_lenses)
        for last in lenses:
            yield from self.before_lens([self.piece(last)], last.rear, (), False)
            for first in lenses:
                rings = self.joined(first.rear, last.front)
                if first is not last and rings is not None:
                    yield from self.before_lens([self.piece(first), *rings, self.piece(last)], last.rear, (), False)

    def coupled_lenses(self) -> Iterator[Front]:
        for lens, setting, piece in self.turned():
            assert lens.front is not None
            unknown = setting.front_principal_plane_mm is None
            yield from self.before_lens([piece], lens.front, (Iris(0, setting, False),), unknown)

    def tails(self) -> Iterator[Tail]:
        """No converter, or one before the camera."""
        yield Tail((), self.camera)
        for converter in self.converters():
            rings = self.joined(converter.rear, self.camera)
            if rings is not None:
                yield Tail((self.piece(converter), *rings), converter.front)

    def with_converter_behind(self, front: Front) -> Iterator[Front]:
        """The front part with a converter directly behind it."""
        for converter in self.converters():
            rings = self.joined(front.rear, converter.front)
            if rings is not None and front.design_mm is None:
                pieces = (*front.pieces, *rings, self.piece(converter))
                yield Front(pieces, converter.rear, front.irises, front.infinity)

    def converters(self) -> list[Converter]:
        return usable(self.kit.converters) if "converter" in self.allowed else []

    def spacers(self) -> list[Tube | Bellows]:
        """Tubes and bellows that may be used."""
        tubes = usable(self.kit.tubes) if "tubes" in self.allowed else []
        bellows = usable(self.kit.bellows) if "bellows" in self.allowed else []
        return [*tubes, *bellows]

    def stacks(self, start: Face, end: Face) -> list[Stack]:
        """Every row of tubes and bellows between two faces; a row that needs one ring twice is left out."""
        if (start, end) not in self.stacks_between:
            rows = self.rows((), start)
            made = (self.stack(row, start, end) for row in rows)
            self.stacks_between[start, end] = [
                stack for stack in made if stack is not None and not repeats(stack.pieces)
            ]
        return self.stacks_between[start, end]

    def rows(self, placed: tuple[Tube | Bellows, ...], face: Face) -> Iterator[tuple[Tube | Bellows, ...]]:
        """Every row that begins with these."""
        yield placed
        for part in self.spacers():
            if part in placed or not may_follow(part, placed) or self.joined(face, part.front) is None:
                continue
            yield from self.rows((*placed, part), part.rear)

    def stack(self, row: Sequence[Tube | Bellows], start: Face, end: Face) -> Stack | None:
        """The row with its rings; None where it does not join the end."""
        pieces: list[Piece] = []
        place, face = None, start
        for part in row:
            pieces += self.joined(face, part.front) or ()
            place = len(pieces) if isinstance(part, Bellows) else place
            pieces.append(self.piece(part))
            face = part.rear
        last = self.joined(face, end)
        bellows = next((part for part in row if isinstance(part, Bellows)), None)
        tubes = sum(isinstance(part, Tube) for part in row)
        return None if last is None else Stack((*pieces, *last), tubes, bellows, place)

    def trains(self) -> Iterator[tuple[Front, Tail, list[Stack]]]:
        """Every front part with every part before the camera, and the stacks between them; no ring is used twice."""
        for front in self.fronts():
            for tail in self.tails():
                if front.design_mm is None or not tail.pieces:
                    yield front, tail, self.between(front, tail, self.stacks(front.rear, tail.face))
            for longer in self.with_converter_behind(front):
                nothing = Tail((), self.camera)
                stacks = [each for each in self.stacks(longer.rear, self.camera) if each.tubes or each.bellows]
                yield longer, nothing, self.between(longer, nothing, stacks)

    def between(self, front: Front, tail: Tail, stacks: Sequence[Stack]) -> list[Stack]:
        """Stacks that use no ring of the two again."""
        if repeats((*front.pieces, *tail.pieces)):
            return []
        return [stack for stack in stacks if not repeats((*front.pieces, *stack.pieces, *tail.pieces))]


def usable(parts: Sequence[Any]) -> list[Any]:
    """Parts that are owned and available."""
    return [part for part in parts if part.owned and part.available]


def repeats(pieces: Sequence[Piece]) -> bool:
    """Whether a part is used twice."""
    return len({piece.id for piece in pieces}) < len(pieces)


def faces_of(part: Tube | Bellows) -> tuple[Any, ...]:
    """What the faces of a tube are to others."""
    return part.front.coupling, part.front.plug, part.rear.coupling, part.rear.plug


def may_follow(part: Tube | Bellows, placed: Sequence[Tube | Bellows]) -> bool:
    """At most one bellows; equal tubes that join one another stand together, the narrower nearer to the camera."""
    if isinstance(part, Bellows):
        return not any(isinstance(each, Bellows) for each in placed)
    alike = [each for each in placed if isinstance(each, Tube) and faces_of(each) == faces_of(part)]
    if not alike or not part.front.joins(part.rear):
        return True
    return placed[-1] is alike[-1] and opening(alike[-1]) >= opening(part)


def opening(tube: Tube) -> float:
    """Clear diameter; one that is not known counts as the largest."""
    return math.inf if tube.clear_diameter_mm is None else tube.clear_diameter_mm


def camera_of(kit: Kit, asked: Mapping[str, Any]) -> tuple[Any, Camera | None]:
    """The plain camera, and the kit's where one is named."""
    named = asked["camera"]
    camera = kit.cameras_by_id[named["use"]] if "use" in named else None
    sent: Any = {"camera": named, "train": []}
    return dict(expand(sent, kit)["camera"]), camera
