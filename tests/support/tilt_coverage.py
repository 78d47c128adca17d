"""How often stated intervals hold what was drawn, over tilted rulers: `python tests/support/tilt_coverage.py COUNT [SEED]`.

Scenes are those of `tilted_scenes`: tilts up to 40 degrees about one axis or two, with and without distortion, read with the
distance; the same read without it; and rulers tilted evenly up to what is assumed, about both axes, read without it.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import asin, atan2, degrees, hypot, radians, sin, sqrt

import numpy as np

from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.measuring.ruler.records import RulerReading
from closeup_service.measuring.ruler.tilt import ASSUMED_LARGEST_TILT_DEG
from closeup_service.measuring.scale_reading import COVERAGE_FACTOR
from closeup_service.optics.errors import OpticsError
from ruler_scenes import Scene, render, true_pixels_per_mm
from tilted_scenes import tilt_along_deg, tilted


@dataclass(frozen=True, slots=True)
class Outcome:
    """Errors over their stated standard uncertainties: of the scale as seen, of the scale freed of tilt, and of the tilt."""

    scene: Scene
    reading: RulerReading
    seen: float
    freed: float
    tilt: float | None

    @property
    def error(self) -> float:
        """Relative, of the scale freed of tilt (as seen where the tilt is not known)."""
        return freed(self.reading)[0] / self.scene.pixels_per_mm - 1


def freed(reading: RulerReading) -> tuple[float, float]:
    """Scale that is told, and its relative uncertainty."""
    scale = reading.square_on_pixels_per_mm or reading.pixels_per_mm
    return scale.value, scale.relative_uncertainty


def outcome(scene: Scene, distance_mm: float | None) -> Outcome | None:
    """Read a drawn scene; None where it is refused."""
    try:
        reading = read_ruler(render(scene), scene.scale.pitch_mm, perspective_distance_mm=distance_mm)
    except OpticsError:
        return None
    value, relative = freed(reading)
    seen = (reading.pixels_per_mm.value / true_pixels_per_mm(scene) - 1) / reading.reading_uncertainty
    tilt = reading.tilt_deg
    off = None if tilt is None else (abs(tilt.value) - tilt_along_deg(scene)) / tilt.uncertainty
    return Outcome(scene, reading, seen, (value / scene.pixels_per_mm - 1) / relative, off)


def with_distance(count: int, seed: int) -> Iterator[Outcome | None]:
    """Rulers tilted by up to 40 degrees, read with the distance."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        scene = tilted(rng)
        yield outcome(scene, scene.distance_mm)


def without_distance(count: int, seed: int) -> Iterator[Outcome | None]:
    """The same, read without."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        yield outcome(tilted(rng), None)


def as_assumed(count: int, seed: int) -> Iterator[Outcome | None]:
    """Rulers tilted evenly up to the assumed tilt, about each axis, read without the distance."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        plain = tilted(rng, tilt_deg=0.0)
        along, across = (sin(radians(rng.uniform(-1, 1) * ASSUMED_LARGEST_TILT_DEG)) for _ in range(2))
        axis, tilt = degrees(atan2(along, across)), degrees(asin(hypot(along, across)))
        yield outcome(replace(plain, tilt_axis_deg=axis, tilt_deg=tilt), None)


def covered(errors: list[float]) -> float:
    """Share within the interval of 95 %."""
    return float(np.mean(np.abs(errors) <= COVERAGE_FACTOR))


def report(name: str, errors: list[float]) -> None:
    """Print the share held, with the limits in which 95 of 100 such counts lie if 95 % are held (binomial, as normal)."""
    limits = COVERAGE_FACTOR * sqrt(0.95 * 0.05 / max(len(errors), 1))
    rms = float(np.sqrt(np.mean(np.square(errors))))
    print(f"  {name:34s} {len(errors):4d}  {covered(errors):.3f}  (0.95 +- {limits:.3f})  rms {rms:.2f}")  # noqa: T201


def main(count: int, seed: int) -> None:
    """Simulate and print."""
    for draw in (with_distance, without_distance, as_assumed):
        outcomes = list(draw(count, seed))
        read = [one for one in outcomes if one is not None]
        print(f"{draw.__name__}: {count - len(read)} of {count} refused")  # noqa: T201
        report("scale as seen", [one.seen for one in read])
        if draw is not without_distance:
            report("scale freed of tilt, or whole", [one.freed for one in read])
        known = [one for one in read if one.tilt is not None]
        if known:
            report("tilt, where known", [one.tilt for one in known if one.tilt is not None])
            report("scale, where the tilt is known", [one.freed for one in known])


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)
