"""Fronts: all that stands before the tubes, as columns.

A front is a lens as it is mounted, or a finite-conjugate objective, with what is screwed before it (a close-up lens or two,
a reversed lens, an infinity-corrected objective) and, where it stands before the tubes, a converter behind it.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from closeup_service.gear.kit import Face, Open, open_of
from closeup_service.gear.search.joints import NO_JOINT, Joint, Joints, Use
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.units import (
    Iris,
    Row,
    Unit,
    attachments,
    converter_unit,
    lens_units,
    objective_unit,
    usable_parts,
)
from closeup_service.optics.arithmetic import BoolArray, FloatArray, IntArray
from closeup_service.optics.matrices import Matrix

SHARED = ("rear", "ring_ids")
"""What all fronts of a group have in common."""


class Matrices(NamedTuple):
    """Ray matrices of many fronts: a column of each of their four numbers."""

    a: FloatArray
    b: FloatArray
    c: FloatArray
    d: FloatArray


NO_OPENING: Row = (0.0, 0.0, np.inf)


class Fronts(Struct, frozen=True):
    """Fronts with one and the same kind of rear face; every column has a row for each front.

    `a` to `d` run from the first principal plane to the rear face, `behind_a` and `behind_c` from that of the part behind the
    attachment. `loose` fronts have an unknown gap there, which only parallel light crosses; the first `before_gap` of their
    openings stand before it. `openings` are a, b and radius,
    three columns each; `iris` and `front_iris` are a, b and the radius at f/1, NaN where there is none; `marks` are filled up
    with NaN. `rings` says which of `ring_ids` each front takes.
    """

    rear: Face
    a: FloatArray
    b: FloatArray
    c: FloatArray
    d: FloatArray
    behind_a: FloatArray
    behind_c: FloatArray
    loose: BoolArray
    infinity: BoolArray
    design: FloatArray
    powered: IntArray
    front_gap: FloatArray
    length: FloatArray
    reach: FloatArray
    iris: FloatArray
    front_iris: FloatArray
    openings: FloatArray
    before_gap: IntArray
    marks: FloatArray
    front_marks: FloatArray
    sharp_known: BoolArray
    front_sharp_known: BoolArray
    best_mark: FloatArray
    front_best_mark: FloatArray
    parts: IntArray
    rings: npt.NDArray[np.float32]
    ring_ids: tuple[str, ...]
    sources: tuple["Source", ...]

    def __len__(self) -> int:
        return len(self.sources)

    def take_rows(self, index: IntArray) -> "Fronts":
        """Some of the fronts, by their places."""
        names = [name for name in self.__struct_fields__ if name not in (*SHARED, "sources")]
        columns = {name: getattr(self, name)[index] for name in names}
        return replace(self, **columns, sources=tuple(self.sources[place] for place in index))


class Source(Struct, frozen=True):
    """What one front is made of: the part before the lens, the joint, the lens, and what is behind it."""

    first: Unit | None
    joint: Joint
    lens: Unit
    joint_behind: Joint | None = None
    converter: Unit | None = None

    @property
    def uses(self) -> tuple[Use, ...]:
        """Parts as they are used, without the apertures."""
        before = () if self.first is None else (*self.first.uses, *self.joint.uses)
        behind = (
            ()
            if self.converter is None or self.joint_behind is None
            else (*self.joint_behind.uses, *self.converter.uses)
        )
        return (*before, *self.lens.uses, *behind)

    @property
    def rings(self) -> tuple[str, ...]:
        """Rings that are taken."""
        behind = () if self.joint_behind is None else self.joint_behind.ids
        return (*(() if self.first is None else self.first.rings), *self.joint.ids, *behind)

    @property
    def lens_place(self) -> int:
        """Place of the lens among the parts."""
        return 0 if self.first is None else len(self.first.uses) + len(self.joint.uses)


def fronts_of(request: Request, joints: Joints) -> Iterator[Fronts]:
    """Yield every front, those with the same kind of rear face together."""
    groups: dict[Open, list[Source]] = {}
    for source in sources(request, joints):
        groups.setdefault(open_of(source.lens.rear), []).append(source)
    plain = [compose(group) for group in groups.values()]
    yield from plain
    if not request.allows("converter"):
        return
    for converter in usable_parts(request.kit.converters):
        unit = converter_unit(converter, request.camera.register_mm)
        for fronts in plain:
            joint = joints.seek_between(fronts.rear, converter.front)
            if joint is not None:
                yield add_converter(fronts, joint, unit)


def sources(request: Request, joints: Joints) -> Iterator[Source]:
    """Yield what every front without a converter is made of."""
    register = request.camera.register_mm
    normal = list(lens_units(request.kit, register, reversed_=False))
    if request.allows("normal"):
        yield from (Source(None, NO_JOINT, unit) for _, unit in normal)
    if request.allows("reversed"):
        yield from (Source(None, NO_JOINT, unit) for _, unit in lens_units(request.kit, register, reversed_=True))
    if request.allows("objective"):
        for objective in usable_parts(request.kit.objectives):
            unit = objective_unit(objective, register)
            if not unit.infinity:
                yield Source(None, NO_JOINT, unit)
    single, coupled, objectives = (request.allows(name) for name in ("close-up-lens", "coupled", "objective"))
    for first in attachments(request.kit, joints, register, single and request.allows("normal"), coupled, objectives):
        for lens, unit in normal:
            if lens.front is None or lens.id in {use["use"] for use in first.uses}:
                continue
            joint = joints.seek_between(first.rear, lens.front)
            if joint is not None and not set(joint.ids) & set(first.rings):
                yield Source(first, joint, unit)


class AttachmentMatrices(NamedTuple):
    """Matrices of many fronts to the joint and on to the lens, and which of them hold an unknown gap, taken as none."""

    first: Matrices
    before: Matrices
    loose: npt.NDArray[np.bool_]


def attachment_matrices(group: Sequence[Source]) -> AttachmentMatrices:
    """Matrices of what stands before each lens; where nothing does, of nothing."""
    first = Matrices(
        *(
            np.array([1.0 if source.first is None and name in "ad" else matrix_of(source, name) for source in group])
            for name in "abcd"
        )
    )
    attached = np.array([source.first is not None for source in group])
    gap = np.array([0.0 if source.first is None else source.joint.length + source.lens.front_gap for source in group])
    gap = gap + np.where(attached, 0.0 * first.a + 0.0 * first.b, 0.0)
    loose = attached & np.isnan(gap + first.b)
    first = Matrices(
        *(
            np.where(loose & np.isnan(values), loosen(group, name), values)
            for name, values in zip("abcd", first, strict=True)
        )
    )
    gap = np.where(np.isnan(gap), 0.0, gap)
    return AttachmentMatrices(
        first, Matrices(first.a + gap * first.c, first.b + gap * first.d, first.c, first.d), loose
    )


def compose(group: Sequence[Source]) -> Fronts:
    """Columns of these fronts."""
    lens = Matrices(*(np.array([getattr(source.lens.matrix, name) for source in group]) for name in "abcd"))
    first, before, loose = attachment_matrices(group)
    return Fronts(
        group[0].lens.rear,
        *product(lens, before),
        lens.a,
        lens.c,
        loose,
        np.array([source.first is not None and source.first.infinity for source in group]),
        np.array([source.lens.design for source in group]),
        np.array([source.lens.powered + (source.first.powered if source.first else 0) for source in group]),
        np.array([foremost_unit(source).front_gap for source in group]),
        np.array([length_of(source) for source in group]),
        np.array([protrusion_of(source) for source in group]),
        iris_rows(group, before),
        np.array([front_iris(source) for source in group]),
        opening_rows(group, first, before),
        np.array([count_before_gap(source) for source in group]),
        mark_rows([source.lens for source in group]),
        mark_rows([source.first for source in group]),
        np.array([has_sharp_mark(source.lens) for source in group]),
        np.array([has_sharp_mark(source.first) for source in group]),
        np.array([best_mark(source.lens) for source in group]),
        np.array([best_mark(source.first) for source in group]),
        np.array([len(source.uses) for source in group]),
        *ring_rows(group),
        tuple(group),
    )


def mark_rows(units: Sequence[Unit | None]) -> FloatArray:
    """Marks of each unit's ring, filled up with NaN.

    Returns
    -------
    array, f-numbers, shape (units, marks)
    """
    marks = [() if unit is None or unit.iris is None else unit.iris.marks for unit in units]
    most = max(map(len, marks), default=0)
    return np.array([[*own, *[np.nan] * (most - len(own))] for own in marks], dtype=float).reshape(len(marks), most)


def has_sharp_mark(unit: Unit | None) -> bool:
    """Whether the kit states from which mark a unit's lens is sharp."""
    return unit is not None and unit.iris is not None and unit.iris.sharp_from is not None


def best_mark(unit: Unit | None) -> float:
    """Mark at which a unit's lens is sharpest by itself; NaN where there is no iris.

    Returns
    -------
    float, f-number
    """
    return np.nan if unit is None or unit.iris is None else unit.iris.best_mark


def ring_rows(group: Sequence[Source]) -> tuple[npt.NDArray[np.float32], tuple[str, ...]]:
    """Which rings each front takes, and the ids of all that any takes."""
    taken = [source.rings for source in group]
    ids = tuple(sorted({ring for rings in taken for ring in rings}))
    return np.array([[ring in rings for ring in ids] for rings in taken], dtype=np.float32).reshape(
        len(group), len(ids)
    ), ids


def foremost_unit(source: Source) -> Unit:
    """Unit that stands foremost."""
    return source.lens if source.first is None else source.first


def protrusion_of(source: Source) -> float:
    """How far anything stands out before the front face; of the lens behind an attachment only what is longer than that.

    Returns
    -------
    float, mm
    """
    if source.first is None:
        return source.lens.reach
    before = source.first.front_gap + source.first.length + source.joint.length
    return source.first.reach if np.isnan(before) else max(source.first.reach, source.lens.reach - before)


def matrix_of(source: Source, name: str) -> float:
    """Member of the matrix of what stands before the lens; that of nothing leaves the ray as it is.

    Returns
    -------
    float, a and d as ratio, b in mm, c in 1/mm
    """
    return 0.0 if source.first is None else getattr(source.first.matrix, name)


def loosen(group: Sequence[Source], name: str) -> FloatArray:
    """Matrix of the attachments with an unknown rear gap taken as none.

    Returns
    -------
    array, a and d as ratio, b in mm, c in 1/mm, shape (fronts,)
    """
    plane = {"a": 1.0, "b": 0.0, "d": 1.0}
    return np.array([plane.get(name, matrix_of(source, "c")) for source in group])


def product(second: Matrices | Matrix, first: Matrices) -> Matrices:
    """Matrix of the second after the first."""
    return Matrices(
        second.a * first.a + second.b * first.c,
        second.a * first.b + second.b * first.d,
        second.c * first.a + second.d * first.c,
        second.c * first.b + second.d * first.d,
    )


def length_of(source: Source) -> float:
    """First principal plane to the rear face; NaN where it is not known.

    Returns
    -------
    float, mm
    """
    if source.first is None:
        return source.lens.length
    return source.first.length + source.joint.length + source.lens.front_gap + source.lens.length


def iris_rows(group: Sequence[Source], before: Matrices) -> FloatArray:
    """Iris of each lens, seen from before the attachment.

    Returns
    -------
    array, a as ratio, b in mm, radius at f/1 in mm, shape (fronts, 3)
    """
    known = [source.lens.iris or Iris(np.nan, np.nan, np.nan, (), None, np.nan) for source in group]
    a, b, radius = (np.array([getattr(iris, name) for iris in known]) for name in ("a", "b", "radius"))
    return np.stack([a * before.a + b * before.c, a * before.b + b * before.d, radius], axis=1)


def front_iris(source: Source) -> Row:
    """Iris of a lens that stands before the lens.

    Returns
    -------
    three floats, a as ratio, b in mm, radius at f/1 in mm; NaN where there is none
    """
    iris = None if source.first is None else source.first.iris
    return (np.nan, np.nan, np.nan) if iris is None else (iris.a, iris.b, iris.radius)


def opening_rows(group: Sequence[Source], first: Matrices, before: Matrices) -> FloatArray:
    """Openings of each front from the subject on, filled up; `first` and `before` run to the joint and to the lens.

    Returns
    -------
    array, a as ratio, b in mm, radius in mm, shape (fronts, openings, 3)
    """
    found: list[list[Row]] = []
    for index, source in enumerate(group):
        a, b, c, d = (column[index] for column in before)
        p, q, r, t = (column[index] for column in first)
        attached = () if source.first is None else source.first.openings
        between = [(p + x * r, q + x * t, radius) for x, radius in source.joint.openings]
        behind = [(x * a + y * c, x * b + y * d, radius) for x, y, radius in source.lens.openings]
        found.append([*attached, *between, *behind])
    return fill_up(found)


def count_before_gap(source: Source) -> int:
    """How many openings stand before the gap to the lens, where one end of that gap is not known."""
    if source.first is None:
        return 0
    ring_is_placed = not np.isnan(source.first.matrix.b)
    return len(source.first.openings) + (len(source.joint.openings) if ring_is_placed else 0)


def fill_up(rows: Sequence[Sequence[Row]]) -> FloatArray:
    """Openings of all as one array (fronts, openings, 3).

    Returns
    -------
    array, a as ratio, b in mm, radius in mm
    """
    most = max(map(len, rows), default=0)
    return np.array([[*own, *[NO_OPENING] * (most - len(own))] for own in rows], dtype=float).reshape(
        len(rows), most, 3
    )


def add_converter(fronts: Fronts, joint: Joint, unit: Unit) -> Fronts:
    """Fronts with a converter behind them.

    Returns
    -------
    Fronts, lengths in mm
    """
    gap = joint.length + unit.front_gap
    matrix = unit.matrix
    before = Matrices(fronts.a + gap * fronts.c, fronts.b + gap * fronts.d, fronts.c, fronts.d)
    a, b, c, d = product(matrix, before)
    behind = fronts.behind_a + gap * fronts.behind_c
    rows = [
        np.stack([fronts.a + x * fronts.c, fronts.b + x * fronts.d, 0 * fronts.a + r], axis=1)
        for x, r in joint.openings
    ]
    openings = np.concatenate([fronts.openings, *(row[:, None, :] for row in rows)], axis=1)
    kept = [
        index
        for index, source in enumerate(fronts.sources)
        if not set(source.rings) & set(joint.ids) and np.isnan(source.lens.design)
    ]
    sources_ = tuple(Source(source.first, source.joint, source.lens, joint, unit) for source in fronts.sources)
    rings, ring_ids = ring_rows(sources_)
    whole = replace(
        fronts,
        rear=unit.rear,
        a=a,
        b=b,
        c=c,
        d=d,
        behind_a=matrix.a * behind + matrix.b * fronts.behind_c,
        behind_c=matrix.c * behind + matrix.d * fronts.behind_c,
        powered=fronts.powered + 1,
        length=fronts.length + gap + unit.length,
        openings=openings,
        parts=fronts.parts + len(joint.uses) + len(unit.uses),
        rings=rings,
        ring_ids=ring_ids,
        sources=sources_,
    )
    return whole.take_rows(np.array(kept, dtype=int))
