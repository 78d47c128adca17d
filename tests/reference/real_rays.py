"""Exact rays through spherical surfaces, in the plane of the axis: Snell's law and nothing else.

Independent of the service: no principal plane, no f-number formula, no ray matrix. Whatever this module reports (focal
length, pupils, magnification, cones, blur) is read off from rays. Lengths in mm, z along the axis in the direction of
the light. Equations: W. T. Welford, *Aberrations of Optical Systems*, ch. 4 (from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from scipy.optimize import brentq, newton

from prescriptions import Prescription

NEAR_AXIS = 1e-5
"""Height [mm] or slope of a ray so near the axis that its aberration is below 1e-9."""


class RayStopped(ValueError):
    """The ray misses the glass, or is totally reflected."""


def root_near(function: Callable[[float], float], first: float, second: float) -> float:
    """Root of a nearly straight function from two guesses, by the secant method."""
    return float(newton(function, first, x1=second, tol=1e-15, rtol=1e-13, maxiter=100))


@dataclass(frozen=True, slots=True)
class Ray:
    """A point of the ray and its direction's cosine and sine against the axis."""

    z: float
    y: float
    cosine: float
    sine: float

    @classmethod
    def from_point(cls, z: float, y: float, sine: float) -> "Ray":
        """Ray that leaves a point at the given sine."""
        return cls(z, y, math.sqrt(1 - sine * sine), sine)

    def height_at(self, z: float) -> float:
        """Height where the ray, produced if need be, meets the plane z."""
        return self.y + (z - self.z) * self.sine / self.cosine

    @property
    def crossing(self) -> float:
        """Where the ray, produced if need be, meets the axis."""
        return self.z - self.y * self.cosine / self.sine


@dataclass(frozen=True, slots=True)
class Surface:
    """A spherical surface at its vertex, between two indices."""

    vertex: float
    curvature: float
    before: float
    after: float
    semi_aperture: float

    def refract(self, ray: Ray) -> Ray:
        """Send the ray to the surface and refract it there."""
        height = ray.height_at(self.vertex)
        c, n, n2 = self.curvature, self.before, self.after
        sag_term = c * height * height
        slant = ray.cosine - c * height * ray.sine
        square = slant * slant - c * sag_term
        if square < 0:
            raise RayStopped("the ray passes the sphere by")
        cos_in = math.sqrt(square)
        path = sag_term / (slant + cos_in)
        y, sag = height + path * ray.sine, path * ray.cosine
        if abs(y) > self.semi_aperture:
            raise RayStopped("the ray misses the glass")
        square = n2 * n2 - n * n * (1 - cos_in * cos_in)
        if square < 0:
            raise RayStopped("total reflection")
        bend = math.sqrt(square) - n * cos_in
        return Ray(
            self.vertex + sag,
            y,
            (n * ray.cosine - bend * (c * sag - 1)) / n2,
            (n * ray.sine - bend * c * y) / n2,
        )

    def turned(self) -> "Surface":
        """Return the surface as it lies when the axis is turned end for end about z = 0."""
        return Surface(-self.vertex, -self.curvature, self.after, self.before, self.semi_aperture)


@dataclass(frozen=True, slots=True)
class Iris:
    """A round opening."""

    z: float
    radius: float


@dataclass(frozen=True, slots=True)
class System:
    """Surfaces in the order in which light meets them, and the irises between them."""

    surfaces: tuple[Surface, ...]
    irises: tuple[Iris, ...]

    @property
    def first(self) -> float:
        """First vertex."""
        return self.surfaces[0].vertex

    @property
    def last(self) -> float:
        """Last vertex."""
        return self.surfaces[-1].vertex

    def turned(self) -> "System":
        """Return the system turned end for end, its first vertex at z = 0."""
        surfaces = tuple(surface.turned() for surface in reversed(self.surfaces))
        irises = tuple(Iris(-iris.z, iris.radius) for iris in reversed(self.irises))
        return System(surfaces, irises).moved(self.last)

    def moved(self, by: float) -> "System":
        """Return the system shifted along the axis."""
        return System(
            tuple(replace(surface, vertex=surface.vertex + by) for surface in self.surfaces),
            tuple(replace(iris, z=iris.z + by) for iris in self.irises),
        )

    def followed_by(self, other: "System", gap: float) -> "System":
        """Return both systems in a row, `gap` from last to first vertex."""
        behind = other.moved(self.last + gap - other.first)
        return System(self.surfaces + behind.surfaces, self.irises + behind.irises)

    def stopped_down(self, *radii: float) -> "System":
        """Return the system with its irises set to these radii."""
        return replace(self, irises=tuple(Iris(i.z, r) for i, r in zip(self.irises, radii, strict=True)))

    def through(self, ray: Ray) -> Ray:
        """Trace the ray to behind the last surface."""
        for surface in self.surfaces:
            ray = surface.refract(ray)
        return ray

    def before(self, iris: Iris) -> "System":
        """What lies before the iris."""
        return System(tuple(s for s in self.surfaces if s.vertex < iris.z), ())

    def behind(self, iris: Iris) -> "System":
        """What lies behind the iris."""
        return System(tuple(s for s in self.surfaces if s.vertex > iris.z), ())

    def conjugate(self, z: float) -> float:
        """Image of an axial point, by a ray near the axis."""
        return self.through(Ray.from_point(z, 0.0, NEAR_AXIS)).crossing

    def subject_of(self, sensor: float) -> float:
        """Where the subject must lie for a sensor at z, by a ray near the axis traced backwards."""
        turned = self.turned()
        return self.first + self.last - turned.moved(self.first).conjugate(self.first + self.last - sensor)

    def magnification(self, subject: float, sensor: float) -> float:
        """Image height over subject height, negative when inverted: by a ray from an off-axis point near the axis."""
        return self.through(Ray.from_point(subject, NEAR_AXIS, 0.0)).height_at(sensor) / NEAR_AXIS

    def focal_length(self) -> float:
        """Height of a ray that enters parallel to the axis over its final slope."""
        ray = self.through(Ray(self.first - 1, NEAR_AXIS, 1.0, 0.0))
        return -NEAR_AXIS * ray.cosine / ray.sine

    def rear_focus(self) -> float:
        """Where a ray that enters parallel to the axis, near it, crosses the axis."""
        return self.through(Ray(self.first - 1, NEAR_AXIS, 1.0, 0.0)).crossing

    def magnified_from_infinity(self, z: float) -> float:
        """Height at z over height of entry of a ray that enters parallel to the axis, near it."""
        return self.through(Ray(self.first - 1, NEAR_AXIS, 1.0, 0.0)).height_at(z) / NEAR_AXIS

    def entrance_pupil(self, iris: Iris) -> float:
        """Where a ray through the middle of the iris, near the axis, would cross the axis on the subject's side."""
        return -self.before(iris).turned_in_place().conjugate(-iris.z)

    def exit_pupil(self, iris: Iris) -> float:
        """Where a ray through the middle of the iris, near the axis, would cross the axis on the sensor's side."""
        return self.behind(iris).conjugate(iris.z)

    def pupil_magnification(self) -> float:
        """Exit over entrance pupil of the one iris, each by a ray from infinity."""
        turned = self.turned()
        (iris,), (turned_iris,) = self.irises, turned.irises
        entrance = 1 / self.before(iris).magnified_from_infinity(iris.z)
        return 1 / turned.before(turned_iris).magnified_from_infinity(turned_iris.z) / entrance

    def turned_in_place(self) -> "System":
        """Return the system with the direction of light and of the axis turned: z becomes -z."""
        return System(tuple(surface.turned() for surface in reversed(self.surfaces)), ())

    def rim_ray(self, subject: float, iris: Iris) -> Ray:
        """Ray from the axial subject point through the rim of the iris, as it leaves the subject."""
        front = self.before(iris)

        def short_of_rim(sine: float) -> float:
            return front.through(Ray.from_point(subject, 0.0, sine)).height_at(iris.z) - iris.radius

        slope = iris.radius * NEAR_AXIS / (short_of_rim(NEAR_AXIS) + iris.radius)
        return Ray.from_point(subject, 0.0, root_near(short_of_rim, slope, 0.999 * slope))

    def governing_iris(self, subject: float) -> Iris:
        """Return the iris that lets through the narrowest cone from the axial subject point."""
        return min(self.irises, key=lambda iris: abs(self.rim_ray(subject, iris).sine))

    def numerical_aperture(self, subject: float) -> float:
        """Sine of the half angle of the cone from the axial subject point."""
        return abs(self.rim_ray(subject, self.governing_iris(subject)).sine)

    def effective_f_number(self, subject: float) -> float:
        """1 / (2 sin u') of the rim ray on the sensor's side."""
        return 1 / (2 * abs(self.through(self.rim_ray(subject, self.governing_iris(subject))).sine))

    def rim_height_on(self, sensor: float, subject: float) -> float:
        """Height on the sensor of the rim ray from an axial point; its sign tells focus before from focus behind."""
        return self.through(self.rim_ray(subject, self.governing_iris(subject))).height_at(sensor)

    def blur(self, subject: float, sensor: float) -> float:
        """Diameter on the sensor of the cone from an axial point."""
        return 2 * abs(self.rim_height_on(sensor, subject))

    def rim_ray_from_infinity(self, iris: Iris) -> Ray:
        """Ray that enters parallel to the axis and passes the rim of the iris."""
        front, start = self.before(iris), self.first - 1

        def short_of_rim(height: float) -> float:
            return front.through(Ray(start, height, 1.0, 0.0)).height_at(iris.z) - iris.radius

        guess = iris.radius / front.magnified_from_infinity(iris.z)
        return Ray(start, root_near(short_of_rim, guess, 0.999 * guess), 1.0, 0.0)

    def blur_of_infinity(self, iris: Iris, sensor: float) -> float:
        """Diameter on the sensor of the cone from an infinitely distant axial point."""
        return 2 * abs(self.through(self.rim_ray_from_infinity(iris)).height_at(sensor))

    def marginal_subject(self, subject: float, sensor: float) -> float:
        """Axial point, near the given one, whose rim ray meets the axis on the sensor: where the blur vanishes."""
        reach = 1e-3 * abs(self.first - subject)
        return root_near(lambda z: self.rim_height_on(sensor, z), subject, subject + reach)

    def depth(self, subject: float, sensor: float, blur: float, direction: int) -> float:
        """How far from the subject (+1: towards the lens, -1: away from it) the blur reaches the given diameter."""

        def too_sharp(step: float) -> float:
            return self.blur(subject + direction * step, sensor) - blur

        far = 1e-4 * abs(self.first - subject)
        while too_sharp(far) < 0:
            far *= 1.2
        return float(brentq(too_sharp, 0.0, far, xtol=1e-13, rtol=1e-13))


def system_of(prescription: Prescription) -> System:
    """Set up the surfaces of a prescription, its first vertex at z = 0."""
    surfaces: list[Surface] = []
    irises: list[Iris] = []
    vertex, before = 0.0, 1.0
    for number, row in enumerate(prescription.rows):
        if number == prescription.stop:
            irises.append(Iris(vertex, row.semi_aperture))
        else:
            surfaces.append(Surface(vertex, 1 / row.radius, before, row.index, row.semi_aperture))
        vertex, before = vertex + row.gap, row.index
    return System(tuple(surfaces), tuple(irises))
