"""Photographs of tilted rulers drawn at random: a pinhole at a stated distance, a plane tilted about one axis or two."""

from math import asin, degrees, radians, sin

import numpy as np

from ruler_scenes import HALF, Scale, Scene

MOST_TILT_DEG = 40.0
AXES = ("across the ruler", "along the ruler", "both")


def tilted(rng: np.random.Generator, width: int = 1152, height: int = 800, tilt_deg: float | None = None) -> Scene:
    """A random photograph of a ruler tilted by up to 40 degrees, or by `tilt_deg`, about an axis drawn too.

    An oblique axis tilts the ruler about two axes at once: 25 and 25 degrees are about 35 degrees about an axis between.
    """
    base = Scale() if rng.random() < 0.6 else HALF
    period = float(np.exp(rng.uniform(np.log(14), np.log(width / 16))))
    scale = Scale(
        base.pitch_mm,
        base.lengths_mm,
        base.pitch_mm * float(rng.uniform(0.12, 0.4)),
        numerals_every=int(rng.choice([0, base.numerals_every])),
    )
    pixels_per_mm = period / scale.pitch_mm
    reach = width / pixels_per_mm
    about = str(rng.choice(AXES))
    axis = {"across the ruler": 90.0, "along the ruler": 0.0}.get(about, float(rng.uniform(15, 165)))
    tilt = float(rng.uniform(0, MOST_TILT_DEG)) if tilt_deg is None else tilt_deg
    return Scene(
        width,
        height,
        pixels_per_mm,
        angle_deg=float(rng.uniform(-90, 90)),
        middle_mm=float(rng.uniform(30, 70)),
        across_mm=scale.lengths_mm[0][1] / 2 + float(rng.uniform(-0.2, 0.2)) * height / pixels_per_mm,
        first_mm=-1000.0,
        last_mm=1000.0,
        strip_mm=18.0,
        scale=scale,
        tilt_deg=tilt * float(rng.choice([-1.0, 1.0])),
        tilt_axis_deg=axis,
        distance_mm=float(np.exp(rng.uniform(np.log(1.5), np.log(8)))) * reach,
        distortion=float(rng.uniform(-0.02, 0.02)) if rng.random() < 0.3 else 0.0,
        blur_px=float(rng.uniform(0.6, max(0.7, min(0.1 * period, 3.0)))),
        noise=float(rng.uniform(1, 4)),
        slope=float(rng.uniform(-0.2, 0.2)),
        vignetting=float(rng.uniform(0, 0.3)),
        seed=int(rng.integers(0, 1000)),
    )


def tilt_along_deg(scene: Scene) -> float:
    """Angle of the ruler's length to the sensor's plane, without its sign."""
    return abs(degrees(asin(sin(radians(scene.tilt_axis_deg)) * sin(radians(scene.tilt_deg)))))
