"""Laws of the calibration of a lens: exact frames give it back, lengths scale, order does not matter, it fits into a train."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from closeup_service.measuring.lens.calibration import Calibration, calibrate
from closeup_service.measuring.lens.records import Frame, Measured, Session
from closeup_service.measuring.lens.zoom import interpolate_lens
from closeup_service.operations.measure.lens_calibration.operation import pasteable
from closeup_service.set_ups.set_up import evaluate
from set_ups import lengths

REGISTER = 18.0


@st.composite
def sessions(draw: st.DrawFn, stated: bool | None = None) -> tuple[Session, dict[str, float]]:
    """Exact frames of a random lens, normal or reversed, and the lens."""
    turned, f = draw(st.booleans()), draw(lengths(15, 150))
    lens = {
        "focal_length_mm": f,
        "front_principal_plane_mm": draw(lengths(5, 40 if turned else 14)),
        "principal_plane_separation_mm": draw(lengths(-5, 30)),
        "extension_at_infinity_mm": draw(lengths(-0.5, 2)),
        "register": draw(lengths(20, 60)),
    }
    least = max(f * 1.05 - REGISTER - lens["front_principal_plane_mm"], 1.0) if turned else 1.0
    steps = draw(st.lists(st.integers(0, 60), min_size=3, max_size=8, unique=True))
    known = draw(st.booleans()) if stated is None else stated
    frames = [frame_of(lens, least + step, turned, known, draw(lengths(0, 3))) for step in steps]
    return Session(frames, turned=turned, camera_register=REGISTER), lens


def frame_of(lens: dict[str, float], extension: float, turned: bool, stated: bool, focusing: float) -> Frame:
    f, plane = lens["focal_length_mm"], lens["front_principal_plane_mm"]
    if turned:
        m = (REGISTER + extension + plane) / f - 1
        distance = lens["register"] + f / m - focusing
    else:
        m = (extension + focusing + lens["extension_at_infinity_mm"]) / f
        distance = f + f / m - plane
    total = f * (2 + m + 1 / m) + lens["principal_plane_separation_mm"]
    magnification = Measured(m, 0.002 * m if stated else None)
    return Frame(extension, magnification, focusing, Measured(distance, 0.3), Measured(total, 0.5))


def rear_plane(lens: dict[str, float], turned: bool) -> float:
    f = lens["focal_length_mm"]
    return lens["register"] - f if turned else REGISTER - lens["extension_at_infinity_mm"] - f


@given(sessions())
def test_exact_frames_give_the_lens_back(drawn: tuple[Session, dict[str, float]]) -> None:
    session, lens = drawn
    calibration = calibrate(session)
    values = calibration.estimates.values
    for name in ("focal_length_mm", "front_principal_plane_mm", "principal_plane_separation_mm"):
        assert values[name] == pytest.approx(lens[name], rel=1e-6, abs=1e-5)
    assert values["rear_principal_plane_mm"] == pytest.approx(rear_plane(lens, session.turned), rel=1e-6, abs=1e-5)
    at_infinity = values["extension_at_infinity_mm"]
    if session.turned:
        assert at_infinity is None
    else:
        assert at_infinity == pytest.approx(lens["extension_at_infinity_mm"], abs=1e-6)
    for left in calibration.residuals:
        assert (left.magnification, left.working_distance, left.subject_to_sensor) == pytest.approx((0, 0, 0), abs=1e-4)


@given(sessions())
def test_the_measured_lens_in_a_train_gives_the_magnifications_of_its_frames(
    drawn: tuple[Session, dict[str, float]],
) -> None:
    session, _ = drawn
    lens = pasteable(session, calibrate(session).estimates) | {"f_number": 8.0}
    del lens["principal_plane_separation_mm"]
    for frame in session.frames:
        train: list[Any] = [
            {**lens, "focusing_extension_mm": frame.focusing},
            {"element": "spacer", "length_mm": frame.extension},
        ]
        m = evaluate({"camera": {"register_mm": REGISTER}, "train": train}).magnification
        assert m == pytest.approx(frame.magnification.value, rel=1e-9)


def scattered(session: Session) -> Session:
    """Readings off by a fixed pattern, so that there is something to weigh."""
    off = np.array([1.0, -0.7, 0.4, -1.2, 0.8, -0.3, 1.1, -0.9])
    frames = [
        replace(
            frame, magnification=replace(frame.magnification, value=frame.magnification.value * (1 + 0.001 * float(o)))
        )
        for frame, o in zip(session.frames, off, strict=False)
    ]
    return replace(session, frames=frames)


def told(calibration: Calibration) -> list[float]:
    estimates = calibration.estimates
    return [value for value in estimates.values.values() if value is not None] + [
        estimates.uncertainty(name) or 0.0 for name in estimates.parameters
    ]


@given(sessions())
def test_the_order_of_the_frames_does_not_matter(drawn: tuple[Session, dict[str, float]]) -> None:
    session = scattered(drawn[0])
    turned_round = replace(session, frames=session.frames[::-1])
    assert told(calibrate(turned_round)) == pytest.approx(told(calibrate(session)), rel=1e-5, abs=1e-7)


def grown(read: Measured | None, factor: float) -> Measured | None:
    if read is None or read.uncertainty is None:
        return None
    return Measured(read.value * factor, read.uncertainty * factor)


@given(sessions(), st.sampled_from([0.5, 2.0, 8.0]))
def test_all_lengths_scale_together(drawn: tuple[Session, dict[str, float]], factor: float) -> None:
    session = scattered(drawn[0])
    frames = [
        Frame(
            frame.extension * factor,
            frame.magnification,
            frame.focusing * factor,
            grown(frame.working_distance, factor),
            grown(frame.subject_to_sensor, factor),
        )
        for frame in session.frames
    ]
    scaled = replace(session, frames=frames, camera_register=REGISTER * factor)
    expected = [value * factor for value in told(calibrate(session))]
    assert told(calibrate(scaled)) == pytest.approx(expected, rel=1e-5, abs=1e-7)


@given(sessions(stated=True))
def test_taking_all_frames_again_as_often_as_advised_halves_the_interval(
    drawn: tuple[Session, dict[str, float]],
) -> None:
    session = replace(
        drawn[0],
        frames=[replace(frame, working_distance=None, subject_to_sensor=None) for frame in drawn[0].frames],
    )
    before = calibrate(session)
    assert before.more.repeats == 3
    after = calibrate(replace(session, frames=list(session.frames) * 4))
    half = before.estimates.uncertainty("focal_length_mm")
    assert half is not None
    assert after.estimates.uncertainty("focal_length_mm") == pytest.approx(half / 2, rel=1e-6)


@given(sessions(stated=True))
def test_the_frames_advised_halve_the_interval_and_one_fewer_at_each_end_does_not(
    drawn: tuple[Session, dict[str, float]],
) -> None:
    session, lens = drawn
    frames = [
        Frame(frame.extension, Measured(frame.magnification.value, 0.002), frame.focusing) for frame in session.frames
    ]
    focusing = 0.0
    frames = [
        replace(frame_of(lens, frame.extension, session.turned, True, focusing), focusing=focusing) for frame in frames
    ]
    frames = [Frame(frame.extension, Measured(frame.magnification.value, 0.002)) for frame in frames]
    session = replace(session, frames=frames)
    before = calibrate(session)
    added = [
        Frame(
            each.extension,
            Measured(frame_of(lens, each.extension, session.turned, True, 0.0).magnification.value, 0.002),
        )
        for each in before.more.added
        for _ in range(each.frames)
    ]
    wanted = (before.estimates.uncertainty("focal_length_mm") or 0.0) / 2
    assert added
    reached = calibrate(replace(session, frames=frames + added)).estimates.uncertainty("focal_length_mm")
    assert reached is not None
    assert reached <= wanted * (1 + 1e-9)
    fewer = calibrate(replace(session, frames=frames + added[1:-1])).estimates.uncertainty("focal_length_mm")
    assert fewer is not None
    assert fewer > wanted


@given(st.lists(st.integers(1, 60), min_size=3, max_size=8, unique=True), lengths(-2, 3), lengths(1, 50))
def test_lenses_that_lie_on_a_line_are_drawn_between_settings_without_error(
    marks: list[int], slope: float, start: float
) -> None:
    measured = [
        calibrate(
            Session([Frame(e, Measured((e + 0.1) / (200 + start + slope * mark))) for e in (10.0, 20.0, 30.0)])
        ).estimates
        for mark in marks
    ]
    wanted = (min(marks) + max(marks)) / 2
    drawn = interpolate_lens(list(map(float, marks)), measured, wanted)
    assert drawn.values["focal_length_mm"] == pytest.approx(200 + start + slope * wanted, rel=1e-9)
    assert (drawn.uncertainty("focal_length_mm") or 0.0) < 1e-6 or wanted in marks
