"""How far a set-up is uncertain because its lenses are: the law of propagation, to first order, with correlations.

u^2 = g C g^T, C the covariance of what a lens states and g the derivatives of the result, taken as central differences of
`set_up.evaluate` itself; several lenses are independent of each other. What of C rests on the scatter of a few frames has
few degrees of freedom, and so has u. Source: JCGM 100 (GUM), 5.2.2 and G.4 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf, isfinite, log, sqrt
from typing import TYPE_CHECKING, cast

import numpy as np
from msgspec import Struct, field

from closeup_service.language import tr
from closeup_service.optics.aperture import visible_stops
from closeup_service.optics.arithmetic import POINT, FloatArray
from closeup_service.optics.effective_degrees import effective_degrees
from closeup_service.optics.errors import OpticsError
from closeup_service.optics.matrices import chain_matrices, first_powered_part
from closeup_service.optics.train import trace
from closeup_service.set_ups.set_up import SetUp, build_parts, evaluate, put_member

if TYPE_CHECKING:
    from closeup_service.records import requests

Results = dict[str, float]

PARAMETERS = (
    "focal_length_mm",
    "front_principal_plane_mm",
    "rear_principal_plane_mm",
    "pupil_magnification",
    "principal_plane_separation_mm",
    "f_number",
)
"""What a lens can be uncertain in."""

POSITIVE = ("focal_length_mm", "pupil_magnification", "f_number")
"""Those of them that no lens has at nothing or below."""

FIELDS = (
    "magnification",
    "subject_width_mm",
    "subject_height_mm",
    "working_distance_mm",
    "clearance_mm",
    "subject_to_sensor_mm",
    "rig_length_mm",
    "effective_f_number",
    "numerical_aperture",
    "light_loss_stops",
    "front_depth_mm",
    "rear_depth_mm",
    "total_mm",
    "depth_of_focus_mm",
    "optimum_effective_f_number",
    "optimum_f_number",
)
"""What is propagated; the depths are those of the depth of field."""

BY_STOP = frozenset(FIELDS[FIELDS.index("effective_f_number") :]) - {"optimum_effective_f_number"}
"""What changes its law where another stop comes to govern."""

REACH = 2.0
"""Within so many standard uncertainties the set-up must hold, and its stop govern."""

_STEP, _LEAST_STEP = 1e-3, 1e-7
_SAME = 1e-9
"""A margin between two stops that is uncertain by less does not move: both stand on the same data."""


class Propagated(Struct, frozen=True):
    """Standard uncertainty of each field, None where it has none, and its degrees of freedom, infinite where not named.

    `switching` says that another stop may come to govern within two standard uncertainties, `failing` names the fields that
    end, or the reason why the whole set-up does.
    """

    uncertainties: Mapping[str, float | None]
    degrees: Mapping[str, float] = field(default_factory=dict)
    switching: bool = False
    failing: tuple[str, ...] = ()
    refusal: str | None = None


class Uncertain(Struct, frozen=True):
    """Everything uncertain in a document: (index of the lens, parameter) in the order of the covariance.

    `scatters` are the parts of the covariance that lenses took from scatters, each with its degrees of freedom.
    """

    document: requests.FrameSetUp
    places: tuple[tuple[int, str], ...]
    covariance: FloatArray
    scatters: tuple[tuple[FloatArray, float], ...] = ()

    def displace(self, by: FloatArray) -> requests.FrameSetUp:
        """Return the document with its uncertain members moved."""
        train = list(self.document["train"])
        for place, change in enumerate(by):
            index, name = self.places[place]
            train[index] = put_member(train[index], name, self.value(place) + float(change))
        return {**self.document, "train": train}

    def value(self, place: int) -> float:
        """Value of one uncertain member."""
        index, name = self.places[place]
        lens = cast("Mapping[str, float]", self.document["train"][index])
        return float(lens[name])


def is_uncertain(document: requests.FrameSetUp) -> bool:
    """Whether any lens of the train states an uncertainty."""
    return any("uncertainty" in element for element in document["train"])


def propagate(document: requests.FrameSetUp, set_up: SetUp) -> Propagated:
    """Propagate the uncertainties that the document's lenses state into what the set-up does."""
    uncertain = uncertain_members(document)
    impossible = vanishing_member(uncertain)
    if impossible is not None:
        return Propagated(dict.fromkeys(FIELDS), refusal=impossible)
    base = results(set_up)
    steps = [step_at(uncertain, place) for place in range(len(uncertain.places))]
    try:
        gradients = gradients_of(uncertain, base, steps)
        margins = list(stop_margins(uncertain, steps))
    except OpticsError as error:
        return Propagated(dict.fromkeys(FIELDS), refusal=str(error))
    found = {name: deviation(gradient, uncertain.covariance) for name, gradient in gradients.items()}
    refusal = refusal_within_reach(uncertain, gradients)
    if refusal is not None:
        return Propagated(dict.fromkeys(FIELDS), refusal=refusal)
    failing = tuple(name for name in found if ends_within_reach(uncertain, name, gradients[name]))
    switching = any(margin <= REACH * spread and spread > _SAME for margin, spread in margins)
    without = set(failing) | (BY_STOP if switching else set())
    known = {name: None if name in without else found.get(name) for name in FIELDS}
    degrees = {name: degrees_of(gradients[name], uncertain) for name, value in known.items() if value is not None}
    return Propagated(known, degrees, switching, failing)


def uncertain_members(document: requests.FrameSetUp) -> Uncertain:
    """Every uncertain member; a rear plane that is uncertain by itself takes the place of the lens's register."""
    train: list[requests.Element] = []
    places, blocks = [], []
    for index, element in enumerate(document["train"]):
        if element["element"] != "lens" or "uncertainty" not in element:
            train.append(element)
            continue
        stated = element["uncertainty"]
        train.append(own_rear_plane(element, stated["parameters"]))
        places += [(index, name) for name in stated["parameters"]]
        blocks.append(stated)
    covariance, scatters, start = np.zeros((len(places), len(places))), [], 0
    for stated in blocks:
        here = slice(start, start + len(stated["parameters"]))
        covariance[here, here], start = stated["covariance"], here.stop
        if "degrees_of_freedom" in stated:
            scatter = np.zeros_like(covariance)
            scatter[here, here] = stated.get("scatter_covariance", stated["covariance"])
            scatters.append((scatter, float(stated["degrees_of_freedom"])))
    return Uncertain({**document, "train": train}, tuple(places), covariance, tuple(scatters))


def own_rear_plane(element: requests.Lens, parameters: Sequence[str]) -> requests.Lens:
    """Lens whose rear plane is stated as such where it is uncertain as such."""
    if "rear_principal_plane_mm" not in parameters or "register_mm" not in element:
        return element
    moved = element.copy()
    moved["rear_principal_plane_mm"] = moved.pop("register_mm") - element["focal_length_mm"]
    return moved


def results(set_up: SetUp) -> Results:
    """Numbers of a set-up that are finite, by field."""
    depth = set_up.depth
    depths = {}
    if depth is not None:
        depths = {
            "front_depth_mm": depth.front,
            "rear_depth_mm": depth.rear,
            "total_mm": depth.total,
            "depth_of_focus_mm": depth.depth_of_focus,
        }
    found = {name: depths.get(name, getattr(set_up, name, None)) for name in FIELDS}
    return {name: value for name, value in found.items() if value is not None and isfinite(value)}


def step_at(uncertain: Uncertain, place: int) -> float:
    """Half the distance of a central difference: well within the uncertainty, well above rounding."""
    sigma = sqrt(uncertain.covariance[place, place])
    return max(_STEP * sigma, _LEAST_STEP * max(abs(uncertain.value(place)), _LEAST_STEP))


def displaced_documents(
    uncertain: Uncertain, steps: Sequence[float], place: int
) -> tuple[requests.FrameSetUp, requests.FrameSetUp]:
    """Documents before and behind, with one member moved."""
    by = np.zeros(len(steps))
    by[place] = steps[place]
    return uncertain.displace(-by), uncertain.displace(by)


def gradients_of(uncertain: Uncertain, base: Results, steps: Sequence[float]) -> dict[str, FloatArray]:
    """Derivatives of every field; without those that are not there on either side."""
    gradients = {name: np.zeros(len(steps)) for name in base}
    for place, step in enumerate(steps):
        below, above = (results(evaluate(side)) for side in displaced_documents(uncertain, steps, place))
        for name in list(gradients):
            if name in below and name in above:
                gradients[name][place] = (above[name] - below[name]) / (2 * step)
            else:
                del gradients[name]
    return gradients


def deviation(gradient: FloatArray, covariance: FloatArray) -> float:
    """Standard uncertainty sqrt(g C g^T).

    Parameters
    ----------
    gradient : array, of the result over the members
    covariance : array, of the members

    Returns
    -------
    float, in the unit of the result
    """
    return sqrt(max(float(gradient @ covariance @ gradient), 0.0))


def degrees_of(gradient: FloatArray, uncertain: Uncertain) -> float:
    """Effective degrees of freedom of a field's uncertainty."""
    variance = float(gradient @ uncertain.covariance @ gradient)
    return effective_degrees(
        variance, [(float(gradient @ scatter @ gradient), degrees) for scatter, degrees in uncertain.scatters]
    )


def worst_displacement(uncertain: Uncertain, gradient: FloatArray) -> FloatArray | None:
    """Most probable change of the members that moves the field by `REACH` standard uncertainties; None where none does."""
    spread = deviation(gradient, uncertain.covariance)
    return REACH * (uncertain.covariance @ gradient) / spread if spread > 0 else None


def refusal_within_reach(uncertain: Uncertain, gradients: Mapping[str, FloatArray]) -> str | None:
    """Why the set-up fails within reach, along the principal axes and where each field moves most; None where it holds."""
    sizes, axes = np.linalg.eigh(uncertain.covariance)
    changes = [REACH * sqrt(max(size, 0.0)) * axis for size, axis in zip(sizes, axes.T, strict=True)]
    changes += [
        change for gradient in gradients.values() if (change := worst_displacement(uncertain, gradient)) is not None
    ]
    for change in changes:
        for side in (-change, change):
            try:
                evaluate(uncertain.displace(side))
            except OpticsError as error:
                return str(error)
            except ArithmeticError:
                return tr("A result would be too large for a number.")
    return None


def vanishing_member(uncertain: Uncertain) -> str | None:
    """Which positive member comes to nothing or below within reach, in words; None where none does."""
    for place, (index, name) in enumerate(uncertain.places):
        least = uncertain.value(place) - REACH * sqrt(uncertain.covariance[place, place])
        if name in POSITIVE and least <= 0:
            return tr(
                "/train/{index}/{name} would be {least:.4g}, and every lens has more: state a smaller uncertainty.",
                index=index,
                name=name,
                least=least,
            )
    return None


def ends_within_reach(uncertain: Uncertain, name: str, gradient: FloatArray) -> bool:
    """Whether a field that is finite becomes unlimited or open within reach."""
    change = worst_displacement(uncertain, gradient)
    if change is None:
        return False
    return any(name not in results(evaluate(uncertain.displace(side))) for side in (-change, change))


def stop_margins(uncertain: Uncertain, steps: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Logarithm of how far each other stop is from governing, and its standard uncertainty."""
    reaches = stop_reaches(uncertain.document)
    if not reaches:
        return
    governing = max(range(len(reaches)), key=reaches.__getitem__)
    sides = [
        [stop_reaches(side) for side in displaced_documents(uncertain, steps, place)] for place in range(len(steps))
    ]
    for other, reach in enumerate(reaches):
        if other == governing:
            continue
        slopes = [
            (margin(above, governing, other) - margin(below, governing, other)) / (2 * step)
            for (below, above), step in zip(sides, steps, strict=True)
        ]
        if reach > 0 and all(map(isfinite, slopes)):
            yield margin(reaches, governing, other), deviation(np.array(slopes), uncertain.covariance)


def margin(reaches: Sequence[float], governing: int, other: int) -> float:
    """Logarithm of the governing stop's reach over another's.

    Parameters
    ----------
    reaches : floats, height of the axial cone at each stop, in its radius

    Returns
    -------
    float, logarithm of the ratio
    """
    return log(reaches[governing] / reaches[other]) if reaches[other] > 0 else inf


def stop_reaches(document: requests.FrameSetUp) -> list[float]:
    """How far the axial cone reaches across each stop, in its radius; the greatest governs. Empty where a stop is unknown."""
    register = document["camera"]["register_mm"]
    parts = build_parts(document, POINT, {})
    traced = trace(parts, register, POINT)
    if traced.aperture is None:
        return []
    first = first_powered_part(parts)
    matrices = chain_matrices(parts, first, register, POINT).matrices
    return [
        abs(to_stop.b + to_stop.a * traced.subject_distance) / radius
        for _, to_stop, radius in visible_stops(parts, first, matrices)
    ]
