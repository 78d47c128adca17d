"""What movement draws on the sensor while light falls, in operators and the Arithmetic: floats and numpy columns alike.

Lengths in mm, speeds in mm/s, rotation in rad/s, blur and amplitudes in um, times in s, frequencies in Hz. Every formula
follows by algebra from the size ratio sensor/subject and the pupils of the thick lens (`formulas`); sources are named
where there are others. All hold on the axis, for movements small against the distance to the entrance pupil.
"""

from __future__ import annotations

from math import inf, log2, nan, pi
from typing import Generic

from msgspec import Struct

from closeup_service.optics.arithmetic import Arithmetic, Condition, R, absolute

UM_PER_MM = 1000.0

TENTH_OVER_HALF = log2(10)
"""t0.1 over t0.5 of light that dies away exponentially: ln 10 / ln 2 = 3.3219. About three times in print."""

BISECTIONS = 54
"""Halvings that bring a bracket no wider than pi/2 times its end down to the last digit of a float."""


class Motions(Struct, Generic[R], frozen=True):
    """What moves, as it goes over the sensor; what does not move is 0.

    Parameters
    ----------
    sideways : speed of the image by sideways movement, um/s
    rotation : speed of the image by rotation of the camera, um/s
    stroke : whole stroke of the image by vibration, um
    frequency : of the vibration, Hz; any positive number where there is none
    """

    sideways: R
    rotation: R
    stroke: R
    frequency: R


class Blurs(Struct, Generic[R], frozen=True):
    """Blur on the sensor by each kind of motion [um]."""

    sideways: R
    rotation: R
    vibration: R


def flash_tenth_time(half_time: R, exponential: Condition, arithmetic: Arithmetic[R]) -> R:
    """t0.1 of a flash [s], the time above a tenth of its peak, from t0.5 [s], the time above half of it.

    t0.1 = log2(10) t0.5 for light that dies away exponentially: half and nine tenths of the light fall in the two times.
    t0.1 = t0.5 for a flash that is cut short electronically. Sources: the two times are those of ISO 2827:1988 (as quoted
    by pages on flash duration; the clause itself not seen); the ratio by algebra.

    Parameters
    ----------
    half_time : float or array, t0.5, s

    Returns
    -------
    float or array, s
    """
    return arithmetic.where(exponential, TENTH_OVER_HALF * half_time, half_time)


def image_speed(magnification: R, speed: R) -> R:
    """Speed of the image over the sensor [um/s] = 1000 m v, of a subject that moves sideways at v [mm/s].

    Parameters
    ----------
    magnification : float or array, sensor/subject
    speed : float or array, of the subject sideways, mm/s

    Returns
    -------
    float or array, um/s
    """
    return UM_PER_MM * magnification * speed


def blurring_time(flash: R, exposure: R, arithmetic: Arithmetic[R]) -> R:
    """Time in which a flash draws while the shutter is open [s]: the shorter of the two.

    Parameters
    ----------
    flash : float or array, t0.1, s
    exposure : float or array, exposure time, s
    """
    return arithmetic.least(flash, exposure)


def longest_axial_time(depth: R, speed: R, arithmetic: Arithmetic[R]) -> R:
    """Longest time [s] in which a movement along the axis stays within the depth; infinite without movement.

    Parameters
    ----------
    depth : float or array, mm
    speed : float or array, along the axis, mm/s
    """
    return depth * arithmetic.positive_reciprocal(speed)


def largest_axial_speed(depth: R, time: R) -> R:
    """Largest speed along the axis [mm/s] that stays within the depth.

    Parameters
    ----------
    depth : float or array, mm
    time : float or array, s
    """
    return depth / time


def blur_in_pixels(blur: R, pixel_pitch: R) -> R:
    """Blur on the sensor in pixels.

    Parameters
    ----------
    blur, pixel_pitch : float or array, um
    """
    return blur / pixel_pitch


def blur_of_pixels(pixels: R, pixel_pitch: R) -> R:
    """Blur on the sensor [um] of so many pixels.

    Parameters
    ----------
    pixels : float or array, pixels
    pixel_pitch : float or array, um
    """
    return pixels * pixel_pitch


def blur_of_criterion(blur: R) -> R:
    """Blur criterion [mm] in um.

    Parameters
    ----------
    blur : float or array, on the sensor, mm
    """
    return UM_PER_MM * blur


def movement_drawing(blur: R, magnification: R) -> R:
    """Movement of the subject [um] that draws this blur [mm] on the sensor.

    Parameters
    ----------
    blur : float or array, blur criterion on the sensor, mm
    magnification : float or array, sensor/subject
    """
    return blur_of_criterion(blur) / magnification


def turning_lever(focal_length: R, magnification: R, pupil_magnification: R, distance: R) -> R:
    """Lever on which a rotation of the camera moves the subject sideways [mm] = |z + D|, z = f (1/m + 1/p).

    z runs from the subject to the entrance pupil, D [mm] from there to the point turned about, positive away from the
    subject. About the entrance pupil itself the blur is f (1 + m/p) w t; about the subject there is none.

    Parameters
    ----------
    focal_length : float or array, mm
    magnification : float or array, sensor/subject
    pupil_magnification : float or array, exit over entrance pupil, as the lens stands
    distance : float or array, entrance pupil to the axis of rotation, mm

    Returns
    -------
    float or array, mm
    """
    return absolute(focal_length * (1 / magnification + 1 / pupil_magnification) + distance)


def image_stroke(magnification: R, amplitude: R) -> R:
    """Whole stroke of the image over the sensor [um] = 2 m A, of a vibration of amplitude A [um].

    Parameters
    ----------
    magnification : float or array, sensor/subject
    amplitude : float or array, of the vibration of the subject, um

    Returns
    -------
    float or array, um
    """
    return 2 * magnification * amplitude


def stroke_share(frequency: R, time: R, arithmetic: Arithmetic[R]) -> R:
    """Greatest share of its whole stroke that a sine of frequency F covers in a time t = sin(pi F t), 1 from F t = 1/2 on.

    The greatest over all phases, reached where the middle of the time falls on the passage through the centre. A short time
    gives pi F t, that is a blur of 2 pi F A m t; a long one the whole stroke, 2 m A.

    Parameters
    ----------
    frequency : float or array, of the vibration, Hz
    time : float or array, s

    Returns
    -------
    float or array, from 0 to 1
    """
    cycles = frequency * time
    return arithmetic.sin(pi * arithmetic.where(cycles < 0.5, cycles, 0.5))


def blurs(motions: Motions[R], time: R, arithmetic: Arithmetic[R]) -> Blurs[R]:
    """Blur on the sensor by each kind of motion while light falls for a time [s].

    Parameters
    ----------
    time : float or array, s

    Returns
    -------
    Blurs, um
    """
    return Blurs(
        sideways=motions.sideways * time,
        rotation=motions.rotation * time,
        vibration=motions.stroke * stroke_share(motions.frequency, time, arithmetic),
    )


def add_in_quadrature(first: R, second: R, arithmetic: Arithmetic[R]) -> R:
    """Two blurs of unrelated directions together [um] = root of the sum of their squares.

    It is the root mean square over all directions in the plane of the sensor; along one line they would add up.

    Parameters
    ----------
    first, second : float or array, blur, um

    Returns
    -------
    float or array, um
    """
    return arithmetic.sqrt(first * first + second * second)


def total_blur(by_kind: Blurs[R], arithmetic: Arithmetic[R]) -> R:
    """Blur by all kinds of motion at once [um], as `add_in_quadrature`."""
    return add_in_quadrature(
        add_in_quadrature(by_kind.sideways, by_kind.rotation, arithmetic), by_kind.vibration, arithmetic
    )


def remaining_blur(allowed: R, others: R, arithmetic: Arithmetic[R]) -> R:
    """Blur that one motion may add to the others within the allowed blur [um]; NaN where the others alone exceed it.

    Parameters
    ----------
    allowed : float or array, allowed blur on the sensor, um
    others : float or array, blur by the other motions, um

    Returns
    -------
    float or array, um
    """
    square = (allowed - others) * (allowed + others)
    return arithmetic.sqrt(arithmetic.where(square >= 0, square, nan))


def largest_motion(left: R, blur_of_one: R, arithmetic: Arithmetic[R]) -> R:
    """Largest motion that draws no more than the blur left for it; infinite where it draws none.

    Parameters
    ----------
    left : float or array, blur left for the motion, um
    blur_of_one : float or array, blur by one unit of the motion, um

    Returns
    -------
    float or array, in the unit of the motion
    """
    return left * arithmetic.positive_reciprocal(blur_of_one)


def time_of_path(path: R, speed: R, arithmetic: Arithmetic[R]) -> R:
    """Time [s] in which the image goes so far over the sensor; infinite where it does not move.

    Parameters
    ----------
    path : float or array, um
    speed : float or array, of the image, um/s

    Returns
    -------
    float or array, s
    """
    return arithmetic.where(speed > 0, path * arithmetic.positive_reciprocal(speed), inf)


def longest_time(allowed: R, motions: Motions[R], arithmetic: Arithmetic[R]) -> R:
    """Longest time [s] in which all motions together draw no more than the allowed blur [um]; infinite where none is too long.

    The root t of (u t)^2 + (S sin(pi F t))^2 = c^2 below half a period of the vibration, of (u t)^2 + S^2 = c^2 above it;
    u [um/s] is the speed of the image by steady motions together, S [um] the whole stroke, c the allowed blur.

    Parameters
    ----------
    allowed : float or array, allowed blur on the sensor, um

    Returns
    -------
    float or array, s
    """
    speed = add_in_quadrature(motions.sideways, motions.rotation, arithmetic)
    square = (allowed - motions.stroke) * (allowed + motions.stroke)
    in_half_a_period = speed / (2 * motions.frequency)
    beyond = square >= in_half_a_period * in_half_a_period
    path = arithmetic.sqrt(arithmetic.where(beyond, square, 0.0))
    steady = time_of_path(path, speed, arithmetic)
    return arithmetic.where(beyond, steady, _root_below_half_period(allowed, motions, speed, arithmetic))


def _root_below_half_period(allowed: R, motions: Motions[R], speed: R, arithmetic: Arithmetic[R]) -> R:
    """Root below half a period, by bisection between 2x/pi <= sin x <= x; where there is none, half a period."""
    half_period = 1 / (2 * motions.frequency)
    stroke_speed = pi * motions.frequency * motions.stroke

    def at_speed(vibration: R) -> R:
        found = allowed * arithmetic.positive_reciprocal(add_in_quadrature(speed, vibration, arithmetic))
        return arithmetic.where(found < half_period, found, half_period)

    low, high = at_speed(stroke_speed), at_speed(stroke_speed * 2 / pi)
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        short = total_blur(blurs(motions, middle, arithmetic), arithmetic) < allowed
        low, high = arithmetic.where(short, middle, low), arithmetic.where(short, high, middle)
    return low
