"""/v1/set-ups/search by brute force, written from its documentation alone: slow, and in the order of the text."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from closeup_service.gear.catalogue import SENSORS
from closeup_service.gear.kit import Bellows, Kit, mount_face
from closeup_service.optics.errors import OpticsError
from closeup_service.schemas.kit import read_kit
from closeup_service.set_ups.set_up import SetUp, evaluate
from documented_light import cone, height_at_sensor, image_distance, wanted_lengths
from documented_listing import ROUNDED, Answer, Found, Listing, Relaxed, least, pareto, ranking
from documented_parts import Bench, Front, Iris, Piece, Stack, Tail, camera_of
from random_kits import ARRANGEMENTS

SAME_LENGTH = 6
"""Places of a mm to which total lengths are the same."""

SLACK_MM = 1e-9
FOCUS_ERROR_MM = 0.5
LARGE_F_NUMBER = 1e5
"""At this mark an iris limits the light whatever else stands in the train."""

RAYLEIGH = 3.8317059702 / (2 * math.pi)
"""First zero of the Airy pattern over 2 pi (DLMF 10.21, from memory)."""

OPTIMUM = 4.87868
OVERLAP = 0.2
FARTHEST_OFF = 0.9


@dataclass(frozen=True)
class Arrangement:
    """Parts in their order, lengths settled, apertures not."""

    front: Front
    tail: Tail
    stack: Stack
    drawn: float

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        return (*self.front.pieces, *self.stack.pieces, *self.tail.pieces)

    def train(self, f_numbers: Mapping[int, float]) -> list[Any]:
        """Plain train at these marks, by place."""
        front = [piece.element for piece in self.front.pieces]
        train = [dict(each) for each in (*front, *self.stack.elements(self.drawn), *self.tail.elements)]
        for place, f_number in f_numbers.items():
            train[place]["f_number"] = f_number
        return train


class Search:
    """One search."""

    def __init__(self, asked: Mapping[str, Any]) -> None:
        self.asked = asked
        self.kit: Kit = read_kit(asked["kit"], "request")
        self.camera, of_kit = camera_of(self.kit, asked)
        flange = of_kit.flange if of_kit else mount_face(self.kit.all_mounts[asked["camera"]["mount"]], "body")
        if of_kit is None:
            self.camera = self.plain_camera(asked["camera"])
        self.register: float = self.camera["register_mm"]
        self.bench = Bench(self.kit, flange, frozenset(asked.get("arrangements", ARRANGEMENTS)))
        self.listing = Listing(asked)
        self.tolerance: float = asked.get("tolerance", 0.05)
        self.depth: float | None = asked.get("subject_depth_mm")

    def plain_camera(self, stated: Mapping[str, Any]) -> Any:
        """Camera by its mount and sensor."""
        sensor = SENSORS[stated["sensor"]]
        measures = {"sensor_width_mm": sensor.width_mm, "sensor_height_mm": sensor.height_mm}
        criterion = {name: stated[name] for name in ("pixel_pitch_um", "circle_of_confusion_mm") if name in stated}
        return {"register_mm": self.kit.all_mounts[stated["mount"]].register_mm, **measures, **criterion}

    @property
    def magnification(self) -> float:
        """Magnification that fills the frame exactly."""
        sides = ("subject_width_mm", "sensor_width_mm"), ("subject_height_mm", "sensor_height_mm")
        given = [(self.asked[subject], self.camera[sensor]) for subject, sensor in sides if subject in self.asked]
        return min(float(width) / float(subject) for subject, width in given)

    # Arrangements

    def arrangements(self) -> Iterator[Arrangement]:
        """Of those with the same ends and total length, the one of the fewest parts, then with the widest cone."""
        for front, tail, stacks in self.bench.trains():
            to_image = image_distance(tail.elements, self.register)
            best: dict[float, tuple[tuple[float, ...], Arrangement]] = {}
            for stack, drawn in self.drawn_out(front, tail, stacks):
                length = round(stack.rigid_mm + drawn, SAME_LENGTH)
                rank = len(stack.pieces), -round(cone(stack.elements(drawn), to_image), 9)
                if length not in best or rank < best[length][0]:
                    best[length] = rank, Arrangement(front, tail, stack, drawn)
            yield from (arrangement for _, arrangement in best.values())

    def drawn_out(self, front: Front, tail: Tail, stacks: Sequence[Stack]) -> Iterator[tuple[Stack, float]]:
        """Every stack with the lengths of its bellows, 0 where it has none: inverted and upright images one by one."""
        lengths = wanted_lengths(front, tail, self.register, self.magnification)
        for stack in stacks:
            if stack.bellows is None:
                yield stack, 0.0
                continue
            for length, upright in zip(lengths, (False, True), strict=False):
                drawn = as_near(stack.bellows, length - stack.rigid_mm)
                if len(lengths) == 1 or self.is_upright(front, tail, stack.rigid_mm + drawn) == upright:
                    yield stack, drawn

    def is_upright(self, front: Front, tail: Tail, length: float) -> bool:
        """Whether the image is upright at this total length."""
        return height_at_sensor(front.pieces, length, tail.pieces, self.register) > 0

    # Filling the frame

    def evaluated(self, arrangement: Arrangement, f_numbers: Mapping[int, float]) -> SetUp | None:
        """What evaluate says; None where it refuses."""
        try:
            return evaluate(self.document(arrangement, f_numbers))
        except OpticsError:
            return None

    def document(self, arrangement: Arrangement, f_numbers: Mapping[int, float]) -> Any:
        """Plain set-up document."""
        given = ("subject_depth_mm", "depth_of_field_model", "wavelength_nm")
        stated = {name: self.asked[name] for name in given if name in self.asked}
        return {"camera": self.camera, "train": arrangement.train(f_numbers), **stated}

    def off(self, arrangement: Arrangement) -> float | None:
        """How far the frame is off, |M / m - 1|; None where there is no picture to count."""
        set_up = self.evaluated(arrangement, {})
        if set_up is None or abs(set_up.focus_error_mm or 0.0) > FOCUS_ERROR_MM:
            return None
        return abs(self.magnification / float(set_up.magnification) - 1)

    # Apertures

    def apertures(self, number: int, arrangement: Arrangement) -> Iterator[Found]:
        """The set-ups of an arrangement at the marks of its lenses."""
        irises = arrangement.front.irises
        widest = {iris.place: iris.setting.marks[0].nominal for iris in irises}
        wide_open = self.found(number, arrangement, widest, None)
        if wide_open is not None:
            yield wide_open
        for iris in irises:
            for mark in iris.setting.marks[1:]:
                found = self.found(number, arrangement, {**widest, iris.place: mark.nominal}, iris.place)
                if found is not None:
                    yield found

    def found(
        self, number: int, arrangement: Arrangement, f_numbers: Mapping[int, float], limits: int | None
    ) -> Found | None:
        """The set-up at these marks; None where the ring that must limit the light does not, or evaluate refuses."""
        set_up = self.evaluated(arrangement, f_numbers)
        if set_up is None or (limits is not None and set_up.aperture_stop != limits):
            return None
        figures = self.figures(set_up)
        criteria = {
            "framing": 4 * abs(math.log2(self.magnification / figures["magnification"])),
            "aperture": self.aperture_criterion(arrangement, f_numbers, set_up),
            "detail": rated(figures["subject_resolution_um"], lambda value: math.log2(1 + value) / 2, 0.0),
            "working_distance": rated(
                figures["working_distance_mm"], lambda value: math.log2(1 + 100 / value) / 2, 2.0
            ),
            "light": rated(figures["light_loss_stops"], lambda value: max(0.0, value) / 4, 0.0),
            "frames": rated(figures["stack_frames"], lambda value: math.log2(value) / 4, 0.0),
            "parts": 0.05 * len(arrangement.pieces),
        }
        ids = tuple(piece.id for piece in arrangement.pieces)
        return Found(number, ids, self.document(arrangement, f_numbers), figures, criteria)

    def figures(self, set_up: SetUp) -> Any:
        """Figures of a set-up, as evaluate gives them."""
        wavelength_um = set_up.criterion.wavelength_nm / 1000
        aperture = set_up.numerical_aperture
        total = None if set_up.depth is None else float(set_up.depth.front + set_up.depth.rear)
        total = None if total is None or math.isnan(total) else total
        return {
            "magnification": set_up.magnification,
            "working_distance_mm": set_up.working_distance_mm,
            "clearance_mm": set_up.clearance_mm,
            "rig_length_mm": set_up.rig_length_mm,
            "effective_f_number": set_up.effective_f_number,
            "light_loss_stops": set_up.light_loss_stops,
            "subject_resolution_um": None if aperture is None else RAYLEIGH * wavelength_um / float(aperture),
            "stack_frames": None if self.depth is None or total is None else stack_frames(self.depth, total),
        }

    def aperture_criterion(self, arrangement: Arrangement, f_numbers: Mapping[int, float], set_up: SetUp) -> float:
        """How far the aperture is from the best one."""
        if self.depth and self.asked.get("most_stack_frames", 1) == 1:
            if set_up.effective_f_number is None:
                return 0.0
            wavelength_mm = set_up.criterion.wavelength_nm * 1e-6
            best = set_up.magnification * math.sqrt(self.depth / (OPTIMUM * wavelength_mm))
            return abs(math.log2(float(set_up.effective_f_number / best)))
        irises = arrangement.front.irises
        if not irises:
            return 0.0
        governing = next((iris for iris in irises if iris.place == set_up.aperture_stop), None)
        if governing is not None:
            return abs(math.log2(f_numbers[governing.place] / best_mark(governing)))
        main = next((iris for iris in irises if iris.normal), irises[-1])
        return abs(math.log2(self.as_little_light(arrangement, f_numbers, main, set_up) / best_mark(main)))

    def as_little_light(
        self, arrangement: Arrangement, f_numbers: Mapping[int, float], main: Iris, set_up: SetUp
    ) -> float:
        """f-number at which the iris of a lens would let through as little light: the aperture goes as 1 / N."""
        closed = self.evaluated(arrangement, {**f_numbers, main.place: LARGE_F_NUMBER})
        assert closed is not None
        assert closed.aperture_stop == main.place
        apertures = [float(each.numerical_aperture or 0.0) for each in (closed, set_up)]
        return LARGE_F_NUMBER * apertures[0] / apertures[1]

    # Wishes and the list

    def answer(self) -> Answer:
        """Everything that the search finds."""
        rows = [(self.off(each), each) for each in self.arrangements()]
        framing = [each for off, each in rows if off is not None and off <= self.tolerance]
        everything = [found for number, each in enumerate(framing) for found in self.apertures(number, each)]
        meeting = sorted((found for found in everything if not self.listing.missed(found)), key=ranking)
        relaxations: list[Relaxed] = []
        if not framing:
            relaxations = self.nearest_frame([(off, each) for off, each in rows if off is not None])
        elif not meeting:
            relaxations = self.listing.relaxations(everything)
        return Answer(len(framing), meeting, self.listing.hits(meeting), pareto(meeting), relaxations)

    def nearest_frame(self, rows: Sequence[tuple[float, Arrangement]]) -> list[Relaxed]:
        """The arrangement whose frame is nearest, at its best mark, of those that keep the wish for clearance."""
        near = [
            (
                off,
                [found for found in self.apertures(0, each) if "least_clearance_mm" not in self.listing.missed(found)],
            )
            for off, each in rows
            if off <= FARTHEST_OFF
        ]
        if not any(found for _, found in near):
            return []
        off = min(round(off, ROUNDED) for off, found in near if found)
        nearest = [found for each, marks in near if round(each, ROUNDED) == off for found in marks]
        return [Relaxed("tolerance", off, off - self.tolerance, least([(off, found) for found in nearest]))]


def as_near(bellows: Bellows, length: float) -> float:
    """Length itself where the bellows can be drawn to it, else the end of the range that comes nearer."""
    least, greatest = bellows.minimum_length_mm, bellows.maximum_length_mm
    return length if least - SLACK_MM <= length <= greatest + SLACK_MM else min(max(length, least), greatest)


def rated(figure: Any, rate: Any, otherwise: float) -> float:
    """Criterion from a figure, or what stands for one that is not determined."""
    return otherwise if figure is None else float(rate(float(figure)))


def best_mark(iris: Iris) -> float:
    """Mark from which the lens is known to be sharp, else the one nearest to two stops down from its widest."""
    if iris.setting.sharp_from_f_number is not None:
        return iris.setting.sharp_from_f_number
    marks = iris.setting.marks
    off = {mark: round(abs(math.log2(mark.exact / (2 * marks[0].exact))), 9) for mark in marks}
    return min(marks, key=lambda mark: (off[mark], -mark.exact)).nominal


def stack_frames(depth: float, total: float) -> int:
    """Frames of a stack on a rail: the first holds one depth of field, each further one a step."""
    if total >= depth:
        return 1
    return max(0, math.ceil((depth - total) / ((1 - OVERLAP) * total) - 1e-9)) + 1
