"""The search over a kit done slowly: every arrangement spelled out and evaluated one by one.

It shares with the search only the kit's records, the chains of rings, the plain documents of the kit's parts, and
`evaluate`, all of which have tests of their own.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain, combinations, pairwise, permutations
from typing import Any

from closeup_service.gear.kit import Bellows, Face, Kit
from closeup_service.gear.kit_parts import expand
from closeup_service.gear.ring_chains import owned_chains
from closeup_service.optics.arithmetic import POINT
from closeup_service.optics.errors import OpticsError
from closeup_service.set_ups.set_up import SetUp, build_parts, evaluate

Use = Any
Row = Any


@dataclass
class Brute:
    """One search: the frame's width asked for over the sensor's is 1 / wanted."""

    kit: Kit
    camera: Any
    wanted: float
    tolerance: float
    arrangements: frozenset[str]
    subject_depth: float | None

    def usable(self, name: str) -> list[Any]:
        return [part for part in getattr(self.kit, name) if part.owned and part.available]

    def joint(self, start: Face, end: Face) -> list[str] | None:
        key = (start.coupling, start.plug, end.coupling, end.plug)
        cache = self.__dict__.setdefault("cache", {})
        if key not in cache:
            found = owned_chains(self.kit, start, end, 1).chains
            cache[key] = [ring.id for ring in found[0].rings] if found else None
        ids: list[str] | None = cache[key]
        return ids

    def ring_length(self, ids: list[str]) -> float:
        rings: list[Any] = [self.kit.by_id[ring] for ring in ids]
        return float(sum(ring.length_mm for ring in rings))

    # what stands before the tubes -----------------------------------------------------------------

    def lenses(self, turned: bool) -> Iterator[tuple[Any, Use, Any]]:
        for lens in self.usable("lenses"):
            for setting in lens.settings:
                use: Use = {"use": lens.id}
                if len(lens.settings) > 1:
                    use["setting"] = setting.id
                if turned:
                    use["reversed"] = True
                if setting.marks and (lens.front is not None or not turned):
                    yield lens, use, setting

    def fronts(self) -> Iterator[tuple[list[Use], list[int], Face, str]]:
        """Parts, places of lenses with an iris, rear face, kind."""
        for lens, use, _ in self.lenses(False):
            if "normal" in self.arrangements:
                yield [use], [0], lens.rear, "lens"
            for before, rear, places, kind in self.attachments(lens.id):
                rings = None if lens.front is None else self.joint(rear, lens.front)
                if rings is not None and not doubled([*rings, *self.rings_in(before)]):
                    parts = [*before, *({"use": ring} for ring in rings), use]
                    yield parts, [*places, len(parts) - 1], lens.rear, kind
        if "reversed" in self.arrangements:
            for lens, use, _ in self.lenses(True):
                yield [use], [0], lens.front, "lens"
        if "objective" in self.arrangements:
            for objective in self.usable("objectives"):
                if objective.tube_length_mm is not None:
                    kind = "fixed" if objective.focal_length_mm is None else "lens"
                    yield [{"use": objective.id}], [], objective.rear, kind

    def rings_in(self, uses: list[Use]) -> list[str]:
        rings = {ring.id for ring in self.kit.rings}
        return [use["use"] for use in uses if use["use"] in rings]

    def attachments(self, lens_id: str) -> Iterator[tuple[list[Use], Face, list[int], str]]:
        singles = self.usable("close_up_lenses") if {"normal", "close-up-lens"} <= self.arrangements else []
        for one in singles:
            yield [{"use": one.id}], one.rear, [], "lens"
        for first, second in permutations(singles, 2):
            rings = self.joint(first.rear, second.front)
            if rings is not None:
                yield (
                    [{"use": first.id}, *({"use": ring} for ring in rings), {"use": second.id}],
                    second.rear,
                    [],
                    "lens",
                )
        if "coupled" in self.arrangements:
            for lens, use, _ in self.lenses(True):
                if lens.id != lens_id:
                    yield [use], lens.front, [0], "lens"
        if "objective" in self.arrangements:
            for objective in self.usable("objectives"):
                if objective.tube_lens_focal_length_mm is not None:
                    yield [{"use": objective.id}], objective.rear, [], "infinity"

    # tubes, bellows, converters ----------------------------------------------------------------------

    def sets(self) -> Iterator[tuple[Any, ...]]:
        tubes = self.usable("tubes") if "tubes" in self.arrangements else []
        bellows = self.usable("bellows") if "bellows" in self.arrangements else []
        subsets = chain.from_iterable(combinations(tubes, size) for size in range(len(tubes) + 1))
        for subset in subsets:
            yield subset
            yield from ((*subset, one) for one in bellows)

    def stacks(self, parts: tuple[Any, ...], start: Face, end: Face) -> Iterator[list[Use]]:
        """Every order of the parts that rings join, tubes that join one another directly together, the narrower behind."""
        for order in permutations(parts):
            uses: list[Use] = []
            face = start
            for part in order:
                joint = self.joint(face, part.front)
                if joint is None:
                    break
                uses += [*({"use": ring} for ring in joint), {"use": part.id}]
                face = part.rear
            else:
                joint = self.joint(face, end)
                if joint is not None and stand_together(order):
                    yield [*uses, *({"use": ring} for ring in joint)]

    def arrangements_framed(self) -> Iterator[tuple[list[Use], list[int]]]:
        """Every arrangement that fills the frame: of those alike but for the stack's parts and as long, the first."""
        flange = self.camera.flange
        converters = self.usable("converters") if "converter" in self.arrangements else []
        for front, places, rear, kind in self.fronts():
            yield from self.with_stacks(front, places, rear, flange, [], kind, False)
            for converter in converters if kind != "fixed" else []:
                behind = self.joint(converter.rear, flange)
                if behind is not None:
                    tail = [{"use": converter.id}, *({"use": ring} for ring in behind)]
                    yield from self.with_stacks(front, places, rear, converter.front, tail, kind, False)
                joint = self.joint(rear, converter.front)
                if joint is not None and not doubled([*joint, *self.rings_in(front)]):
                    whole = [*front, *({"use": ring} for ring in joint), {"use": converter.id}]
                    yield from self.with_stacks(whole, places, converter.rear, flange, [], kind, True)

    def with_stacks(
        self, front: list[Use], places: list[int], rear: Face, end: Face, tail: list[Use], kind: str, needs_part: bool
    ) -> Iterator[tuple[list[Use], list[int]]]:
        found: dict[float, tuple[Any, list[Use]]] = {}
        for parts in self.sets():
            for uses in [] if needs_part and not parts else self.stacks(parts, rear, end):
                if doubled(self.rings_in([*front, *uses, *tail])):
                    continue
                for drawn in self.drawn_out(front, uses, tail, kind):
                    length = round(sum(self.length_of(use) for use in drawn), 6)
                    order = len(drawn), self.narrowness(drawn, tail)
                    if length not in found or order < found[length][0]:
                        found[length] = order, drawn
        yield from (([*front, *drawn, *tail], places) for _, drawn in found.values())

    def narrowness(self, stack: list[Use], tail: list[Use]) -> float:
        """Height over radius at the narrowest opening of a ray that comes back from the sensor: less is a wider cone."""
        y, slope = self.camera.register_mm, 1.0
        for part in reversed(build_parts(self.plain(tail), POINT, {})):
            y += slope * or_none(part.rear_gap)
            if part.powered:
                slope -= part.power * y
                y += slope * or_none(part.front_gap)
        found = 0.0
        for use in reversed(stack):
            diameter: Any = getattr(self.kit.by_id[use["use"]], "clear_diameter_mm", None)
            ends = y, y + slope * self.length_of(use)
            found = max(found, *(abs(end) / (diameter or math.inf) for end in ends))
            y = ends[1]
        return round(found / abs(slope), 9)

    def length_of(self, use: Use) -> float:
        part: Any = self.kit.by_id[use["use"]]
        return float(use["length_mm"]) if "length_mm" in use else float(part.length_mm)

    def drawn_out(self, front: list[Use], stack: list[Use], tail: list[Use], kind: str) -> Iterator[list[Use]]:
        """The stack, its bellows as far as fills the frame exactly or else nearest, if it then fills it."""
        place = next((at for at, use in enumerate(stack) if isinstance(self.kit.by_id[use["use"]], Bellows)), None)
        if place is None:
            if self.fills(front, stack, tail, kind) is not None:
                yield stack
            return
        bellows: Any = self.kit.by_id[stack[place]["use"]]
        low, high = bellows.minimum_length_mm, bellows.maximum_length_mm

        def at(length: float) -> list[Use]:
            return [*stack[:place], {**stack[place], "length_mm": length}, *stack[place + 1 :]]

        def root(first: float, last: float) -> float:
            return low - first * (high - low) / (last - first) if last != first else math.nan

        bound = kind != "lens" or self.is_loose(front)
        if kind == "fixed":
            objective: Any = self.kit.by_id[front[0]["use"]]
            behind = sum(self.length_of(use) for use in at(low)) + self.camera.register_mm
            wanted = [(1, low + objective.tube_length_mm - 10.0 - behind)]
        elif bound:
            wanted = [(1, root(*(self.beyond_infinity(front, at(length), tail) for length in (low, high))))]
        else:
            signed = [self.signed_magnification(front, at(length), tail) for length in (low, high)]
            several = sum(self.is_powered(use) for use in [*front, *tail]) > 1
            wanted = [
                (sign, root(*(each - sign * self.wanted for each in signed))) for sign in ((1, -1) if several else (1,))
            ]
        for sign, length in wanted:
            drawn = at(min(max(length, low), high))
            fill = None if math.isnan(length) else self.fills(front, drawn, tail, kind)
            if fill is not None and (bound or fill * sign > 0):
                yield drawn

    def is_loose(self, front: list[Use]) -> bool:
        """Whether a gap between parts with glass is not known."""
        parts = build_parts(self.plain(front), POINT, {})
        powered = [place for place, part in enumerate(parts) if part.powered]
        return any(
            unknown(parts[later].front_gap) or any(unknown(part.rear_gap) for part in parts[earlier:later])
            for earlier, later in pairwise(powered)
        )

    def beyond_infinity(self, front: list[Use], stack: list[Use], tail: list[Use]) -> float:
        """How far the sensor is from where the lens behind an attachment throws what is infinitely far."""
        last = max(
            place
            for place, use in enumerate(front)
            if "f_number" in use or hasattr(self.kit.by_id[use["use"]], "settings")
        )
        return self.focus_error(build_parts(self.plain([*front[last:], *stack, *tail]), POINT, {}))

    def is_powered(self, use: Use) -> bool:
        return not hasattr(self.kit.by_id[use["use"]], "clear_diameter_mm")

    def plain(self, uses: list[Use]) -> Any:
        camera = {
            "register_mm": self.camera.register_mm,
            "sensor_width_mm": self.camera.sensor_width_mm,
            "sensor_height_mm": self.camera.sensor_height_mm,
        }
        depth = {} if self.subject_depth is None else {"subject_depth_mm": self.subject_depth}
        train = [{"element": "kit-part", **use} for use in uses]
        sent: Any = {"camera": camera, "train": train, **depth}
        return dict(expand(sent, self.kit))

    def signed_magnification(self, front: list[Use], stack: list[Use], tail: list[Use]) -> float:
        """By multiplying ray matrices plainly; an unknown gap counts as none."""
        parts = build_parts(self.plain([*front, *stack, *tail]), POINT, {})
        a, c = 1.0, 0.0
        started = False
        for part in parts:
            if part.powered:
                a += (or_none(part.front_gap) if started else 0.0) * c
                c -= part.power * a
                started = True
            a += or_none(part.rear_gap) * c if started else 0.0
        return float(-(a + self.camera.register_mm * c))

    def fills(self, front: list[Use], stack: list[Use], tail: list[Use], kind: str) -> float | None:
        """Signed magnification, where the frame is filled and the arrangement is one that is sought."""
        m = self.signed_magnification(front, stack, tail)
        if m == 0 or abs(self.wanted / abs(m) - 1) > self.tolerance * (1 + 1e-9):
            return None
        if kind == "infinity":
            behind = [use for use in [*front, *stack, *tail] if use["use"] != front[0]["use"]]
            parts = build_parts(self.plain(behind), POINT, {})
            if abs(self.focus_error(parts)) > 0.5:
                return None
        return m

    def focus_error(self, parts: Any) -> float:
        """How far the sensor is from where these parts throw what is infinitely far."""
        a, c = 1.0, 0.0
        started = False
        for part in parts:
            if part.powered:
                a += (or_none(part.front_gap) if started else 0.0) * c
                c -= part.power * a
                started = True
            a += or_none(part.rear_gap) * c if started else 0.0
        return float((a + self.camera.register_mm * c) / c)

    # apertures ------------------------------------------------------------------------------------------

    def rows(self) -> Iterator[Row]:
        """Every set-up at every aperture that limits the light, the widest always."""
        for uses, places in self.arrangements_framed():
            rings = [self.marks(uses[place]) for place in places]
            widest = [marks[0] for marks in rings]
            settings = [(tuple(widest), -1)]
            for varied, marks in enumerate(rings):
                settings += [((*widest[:varied], mark, *widest[varied + 1 :]), varied) for mark in marks[1:]]
            for setting, varied in settings:
                used = [dict(use) for use in uses]
                for place, mark in zip(places, setting, strict=True):
                    used[place]["f_number"] = mark
                try:
                    result = evaluate(self.plain(used))
                except OpticsError:
                    continue
                if varied >= 0 and result.aperture_stop != places[varied]:
                    continue
                yield self.row(used, places, result)

    def marks(self, use: Use) -> list[float]:
        lens: Any = self.kit.by_id[use["use"]]
        setting = lens.setting(use["setting"]) if "setting" in use else lens.settings[0]
        return [mark.nominal for mark in setting.marks]

    def row(self, used: list[Use], places: list[int], result: SetUp) -> Row:
        depth = math.nan if result.depth is None else result.depth.front + result.depth.rear
        assert result.numerical_aperture is not None
        resolution = 3.8317059702 / (2 * math.pi) * 0.55 / result.numerical_aperture
        return {
            "name": tuple("|".join(f"{key}={shown(key, value)}" for key, value in sorted(use.items())) for use in used),
            "parts": len(used),
            "working_distance_mm": nan(result.working_distance_mm),
            "clearance_mm": nan(result.clearance_mm),
            "rig_length_mm": nan(result.rig_length_mm),
            "subject_resolution_um": resolution,
            "light_loss_stops": nan(result.light_loss_stops),
            "stack_frames": self.frames(depth),
            "magnification": result.magnification,
            "effective": result.effective_f_number,
            "used": used,
            "places": places,
            "stop": result.aperture_stop,
            "result": result,
        }

    def frames(self, depth: float) -> float:
        if self.subject_depth is None or math.isnan(depth):
            return math.nan
        if depth >= self.subject_depth:
            return 1.0
        return math.ceil((self.subject_depth - depth) / (0.8 * depth) - 1e-9) + 1.0


def shown(key: str, value: Any) -> str:
    """A bellows' length to eight places: two ways of finding it differ in the last digits."""
    return f"{value:.8f}" if key == "length_mm" else str(value)


def unknown(gap: Any) -> bool:
    return gap is None or math.isnan(gap)


def stand_together(order: tuple[Any, ...]) -> bool:
    """Whether tubes with the same faces that join one another directly stand together, narrower ones behind wider ones."""
    seen: list[Any] = []
    for before, part in zip((None, *order), order, strict=False):
        kind = faces(part)
        if kind is not None and kind in seen:
            widths = [math.inf if each.clear_diameter_mm is None else each.clear_diameter_mm for each in (before, part)]
            if faces(before) != kind or widths[1] > widths[0]:
                return False
        seen.append(kind)
    return True


def faces(part: Any) -> Any:
    """Faces of a tube that joins its like; None for all else."""
    if isinstance(part, Bellows) or not part.rear.joins(part.front):
        return None
    return part.front, part.rear


def nan(value: Any) -> float:
    return math.nan if value is None else float(value)


def or_none(gap: Any) -> float:
    return 0.0 if gap is None else float(gap)


def doubled(ids: list[str]) -> bool:
    return len(set(ids)) < len(ids)
