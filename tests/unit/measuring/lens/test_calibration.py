"""A lens measured from few frames: derivatives, what is exact, what is refused, and how often to take frames again."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from closeup_service.measuring.lens.calibration import EXIT, LIGHT_LOSS, calibrate, describe_quantities
from closeup_service.measuring.lens.fit import fit
from closeup_service.measuring.lens.model import GLASS
from closeup_service.measuring.lens.records import Frame, Measured, Session
from closeup_service.optics.errors import Contradiction

EXTENSIONS = (12.0, 20.0, 32.0, 44.0)


def normal(*read: float, sigma: float | None = None, extensions: tuple[float, ...] = EXTENSIONS) -> Session:
    frames = [Frame(e, Measured(m, sigma)) for e, m in zip(extensions, read, strict=True)]
    return Session(frames, camera_register=18.0)


def reversed_lens(register: float | None = None) -> Session:
    """A lens of 35 mm whose front plane lies 21 mm behind the rim; its register is 45.5 mm, its distances 0.2 mm too long."""
    frames = []
    for extension in (20.0, 32.0, 44.0):
        m = (18 + extension + 21) / 35 - 1
        frames.append(Frame(extension, Measured(m, 0.002), 1.5, Measured(45.5 + 0.2 - 1.5 + 35 / m, 20.0)))
    return Session(frames, turned=True, camera_register=18.0, lens_register=register)


PUPILS: dict[str, Any] = {"entrance_pupil": Measured(12.0, 0.1), "exit_pupil": Measured(15.0, 0.1)}
LIGHT: dict[str, Any] = {"reference_f_number": 4.0, "light_loss": Measured(1.5, 0.1)}
SESSIONS = {
    "normal": replace(normal(0.21, 0.34, 0.54, 0.74, sigma=0.002), **PUPILS),
    "with its register": replace(normal(0.21, 0.34, 0.54, 0.74, sigma=0.002), lens_register=18.1, **LIGHT),
    "reversed": replace(reversed_lens(), **PUPILS),
    "reversed with its register": reversed_lens(45.5),
}


def moved(session: Session, place: int, step: float) -> Session:
    """The session with one reading of pupils or light changed."""
    names = ("entrance_pupil", "exit_pupil", "light_loss")
    name = names[place - EXIT + 1]
    read = getattr(session, name)
    return replace(session, **{name: replace(read, value=read.value + step)})


@pytest.mark.parametrize("name", SESSIONS)
def test_every_derivative_that_is_stated_is_the_difference(name: str) -> None:
    session, h = SESSIONS[name], 1e-4
    fitted = fit(session)
    told = describe_quantities(session, fitted)
    assert {"focal_length_mm", "rear_principal_plane_mm"} <= told.keys()
    for quantity, (_, gradient) in told.items():
        for place in range(LIGHT_LOSS + 1):
            ends = []
            for step in (-h, h):
                if place <= 3:
                    ends.append(
                        describe_quantities(session, replace(fitted, values=fitted.values + step * np.eye(4)[place]))
                    )
                elif place in {key for _, part in told.values() for key in part}:
                    ends.append(describe_quantities(moved(session, place, step), fitted))
            by_difference = (ends[1][quantity][0] - ends[0][quantity][0]) / (2 * h) if ends else 0.0
            assert gradient.get(place, 0.0) == pytest.approx(by_difference, abs=1e-6), (quantity, place)


def test_a_register_counts_with_the_play_of_its_stop_and_distances_are_held_against_it() -> None:
    """The distances, with 20 mm each, say next to nothing beside a play of 0.2 mm: 0.2 mm / (1 + (20/0.2)^2 / 3)."""
    given = calibrate(reversed_lens(45.5))
    assert given.fit.values[GLASS] == pytest.approx(45.5 + 0.2 / (1 + 100**2 / 3), abs=1e-5)
    assert given.fit.covariance is not None
    assert given.fit.covariance[GLASS, GLASS] == pytest.approx(0.2**2, rel=1e-3)
    assert [residual.working_distance for residual in given.residuals] == pytest.approx([0.2] * 3, abs=0.02)
    assert given.register_found is not None
    assert given.register_found.value == pytest.approx(45.7, abs=1e-6)
    found = calibrate(reversed_lens())
    assert found.fit.values[GLASS] == pytest.approx(45.7, abs=1e-6)
    assert [residual.working_distance for residual in found.residuals] == pytest.approx([0] * 3, abs=1e-6)


DISTANCES: list[Callable[[Frame], Frame]] = [
    lambda frame: replace(frame, working_distance=Measured(400.0, 1.0)),
    lambda frame: replace(frame, subject_to_sensor=Measured(900.0, 1.0)),
]


@pytest.mark.parametrize("with_distance", DISTANCES)
def test_a_frame_with_a_distance_cannot_lie_before_the_focus(with_distance: Callable[[Frame], Frame]) -> None:
    session = normal(0.001, 0.2, 0.4, 0.6, extensions=(9.0, 20.0, 32.0, 44.0))
    assert calibrate(session).estimates.values["extension_at_infinity_mm"] == pytest.approx(-9, abs=0.6)
    session = normal(0.0001, 0.17, 0.38, 0.59, extensions=(9.0, 20.0, 32.0, 44.0))
    session = replace(session, frames=[with_distance(session.frames[0]), *session.frames[1:]])
    with pytest.raises(Contradiction, match="beyond infinity") as refusal:
        calibrate(session)
    assert refusal.value.members == ("/frames/0/magnification",)


def test_an_outlier_without_which_no_lens_is_left_is_still_named() -> None:
    """Four frames whose magnification falls with the extension, and the fifth alone makes it grow."""
    session = normal(0.30, 0.29, 0.28, 0.27, 0.60, sigma=0.001, extensions=(10.0, 11.0, 12.0, 13.0, 30.0))
    assert [residual.outlier for residual in calibrate(session).residuals] == [False] * 4 + [True]


def test_one_of_four_frames_is_named_where_the_other_three_agree() -> None:
    read = [(e + 0.4) / 60 + off for e, off in zip(EXTENSIONS, (1e-6, -2e-6, 0.01, 1e-6), strict=True)]
    assert [residual.outlier for residual in calibrate(normal(*read)).residuals] == [False, False, True, False]


@pytest.mark.parametrize("sigma", [0.0001, 0.006])
def test_a_register_is_another_lenss_beyond_two_mm_and_five_standard_uncertainties(sigma: float) -> None:
    """By the frames the register is 17.6 mm."""
    session = normal(*((e + 0.4) / 60 for e in EXTENSIONS), sigma=sigma)
    uncertainty = calibrate(session).estimates.uncertainty("extension_at_infinity_mm")
    assert uncertainty is not None
    reach = 2 + 5 * uncertainty
    for off in (-0.99 * reach, 0.99 * reach):
        assert calibrate(replace(session, lens_register=17.6 + off)).register_found is not None
    for off in (-1.01 * reach, 1.01 * reach):
        with pytest.raises(Contradiction):
            calibrate(replace(session, lens_register=17.6 + off))


@pytest.mark.parametrize(("frames", "repeats"), [(3, 1), (5, 2), (10, 3)])
def test_by_the_table_of_student_all_frames_are_to_be_taken_again_so_often(frames: int, repeats: int) -> None:
    """JCGM 100:2008, table G.2, from memory: t(8) = 2.31, t(28) = 2.05, t(38) = 2.02; 2.05 / sqrt 3 > 2.31 / 2 > 2.02 / 2."""
    off = 0.001 * np.array([1.0, -1.2, 0.4, 1.1, -0.9, 0.7, -1.0, 0.8, -0.6, 0.3])
    extensions = tuple(map(float, range(10, 10 + 4 * frames, 4)))
    session = normal(*((e + 0.4) / 60 + o for e, o in zip(extensions, off, strict=False)), extensions=extensions)
    assert calibrate(session).more.repeats == repeats


def test_two_frames_alone_leave_nothing_to_spare() -> None:
    fitted = fit(normal(0.2, 0.4, extensions=(12.0, 24.0)))
    assert (fitted.covariance, fitted.spare, fitted.degrees) == (None, 0, 0)
