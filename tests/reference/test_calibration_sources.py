"""The calibration of a lens against sources outside it: certified data, the GUM, other packages' regressions, simulation."""

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from msgspec.structs import replace
from scipy import optimize, stats

from closeup_service.measuring.distributions import chi_square_tail, f_tail, student_factor, student_tail
from closeup_service.measuring.lens.calibration import calibrate, estimates_of
from closeup_service.measuring.lens.fit import fit
from closeup_service.measuring.lens.model import FOCAL, GLASS, OFFSET
from closeup_service.measuring.lens.records import Frame, Measured, Session
from closeup_service.measuring.straight_line import straight_line

Column = npt.NDArray[np.float64]

# fmt: off
NORRIS_X = [
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6,
    556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
]
NORRIS_Y = [
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
    557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
]
"""NIST Statistical Reference Datasets, linear regression, Norris: data and certified values as scipy's tests carry them."""

GUM_H3_T = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
GUM_H3_B = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
"""JCGM 100:2008, table H.6: a thermometer's readings and corrections, from memory."""
# fmt: on

EXTENSIONS = np.array([12.0, 20.0, 32.0, 44.0, 56.0])
FOCAL_LENGTH, AT_INFINITY, SIGMA = 60.0, 0.4, 0.004
TRUE = (EXTENSIONS + AT_INFINITY) / FOCAL_LENGTH


def normal(read: Column, sigma: float | Column | None = None, relative: bool = False) -> Session:
    sigmas = [None] * len(read) if sigma is None else np.broadcast_to(sigma, read.shape).tolist()
    frames = [
        Frame(float(e), Measured(float(m), s)) for e, m, s in zip(EXTENSIONS[: len(read)], read, sigmas, strict=True)
    ]
    return Session(frames, relative=relative)


def test_a_straight_line_has_the_certified_values_of_norris() -> None:
    """NIST StRD Norris, certified: slope, intercept and their standard deviations."""
    x, y = np.array(NORRIS_X), np.array(NORRIS_Y)
    line = straight_line(x, y, np.ones_like(x))
    deviations = np.sqrt(np.diag(line.covariance(float(line.square_sum) / (len(x) - 2))))
    assert float(line.slope) == pytest.approx(1.00211681802045, rel=1e-12)
    assert float(line.intercept) == pytest.approx(-0.262323073774029, rel=1e-11)
    assert deviations == pytest.approx([0.232818234301152, 0.000429796848199937], rel=1e-9)


def test_a_lens_has_the_certified_values_of_norris() -> None:
    """The same data as a lens: f = 1/slope, d0 = intercept/slope, and u(f) = u(slope) f^2 (GUM 5.1.2)."""
    frames = [Frame(x, Measured(y)) for x, y in zip(NORRIS_X, NORRIS_Y, strict=True)]
    fitted = fit(Session(frames))
    assert fitted.values[FOCAL] == pytest.approx(1 / 1.00211681802045, rel=1e-11)
    assert fitted.values[OFFSET] == pytest.approx(-0.262323073774029 / 1.00211681802045, rel=1e-9)
    assert fitted.covariance is not None
    u = math.sqrt(fitted.covariance[FOCAL, FOCAL])
    assert u == pytest.approx(0.000429796848199937 / 1.00211681802045**2, rel=1e-8)


def test_a_straight_line_has_the_values_of_the_guide() -> None:
    """JCGM 100:2008, H.3.3, as printed: y1, y2, their standard uncertainties, correlation and scatter."""
    t, b = np.array(GUM_H3_T) - 20, np.array(GUM_H3_B)
    line = straight_line(t, b, np.ones_like(t))
    scatter = float(line.square_sum) / (len(t) - 2)
    covariance = line.covariance(scatter)
    deviations = np.sqrt(np.diag(covariance))
    assert round(float(line.intercept), 4) == -0.1712
    assert round(float(line.slope), 5) == 0.00218
    assert [round(float(deviations[0]), 4), round(float(deviations[1]), 5)] == [0.0029, 0.00067]
    assert round(float(covariance[0, 1] / np.prod(deviations)), 3) == -0.930
    assert round(math.sqrt(scatter), 4) == 0.0035


@pytest.mark.parametrize("relative", [False, True])
def test_a_lens_is_the_weighted_line_of_polyfit_turned_over(relative: bool) -> None:
    read = TRUE * (1 + np.array([0.004, -0.003, 0.002, -0.004, 0.003]))
    weights = 1 / read if relative else np.ones_like(read)
    (slope, intercept), covariance = np.polyfit(EXTENSIONS, read, 1, w=weights, cov=True)
    fitted = fit(normal(read, relative=relative))
    jacobian = np.array([[-1 / slope**2, 0], [-intercept / slope**2, 1 / slope]])
    assert fitted.values[[FOCAL, OFFSET]] == pytest.approx([1 / slope, intercept / slope], rel=1e-10)
    assert fitted.covariance is not None
    assert fitted.covariance[:2, :2] == pytest.approx(jacobian @ covariance @ jacobian.T, rel=1e-7)


def test_uncertainties_are_those_of_the_formula_sheet() -> None:
    """sigma_f = f^2 sigma_m / sqrt(Sxx), sigma_d0 = f sigma_m sqrt(1/n + (mean d + d0)^2 / Sxx); by algebra."""
    fitted = fit(normal(TRUE, SIGMA))
    spread = float(((EXTENSIONS - EXTENSIONS.mean()) ** 2).sum())
    assert fitted.covariance is not None
    found = np.sqrt(np.diag(fitted.covariance)[[FOCAL, OFFSET]])
    middle = EXTENSIONS.mean() + AT_INFINITY
    of_d0 = FOCAL_LENGTH * SIGMA * math.sqrt(1 / len(EXTENSIONS) + middle**2 / spread)
    assert found == pytest.approx([FOCAL_LENGTH**2 * SIGMA / math.sqrt(spread), of_d0], rel=1e-9)


def joint_readings(turned: bool) -> tuple[Session, Callable[..., Column], Column, Column]:
    """A session with distances, the same model written out for scipy, the readings and their uncertainties."""
    place = 18.0 + EXTENSIONS if turned else EXTENSIONS
    f, q, g, h = (35.0, 21.0, 45.46, 9.0) if turned else (FOCAL_LENGTH, AT_INFINITY, 20.0, -4.0)

    def model(_: Column, f: float, q: float, g: float, h: float) -> Column:
        m = (place + q) / f - (1 if turned else 0)
        distance = g + f / m if turned else f + f / m - g
        return np.concatenate([m, distance, f * (2 + m + 1 / m) + h])

    off = np.array([0.8, -1.1, 0.3, 1.2, -0.9, 0.4, 1.0, -0.7, -1.3, 0.6, 0.2, -0.5, 1.1, -0.8, 0.9])
    sigmas = np.repeat([0.003, 0.5, 0.4], len(EXTENSIONS))
    read = model(place, f, q, g, h) + off * sigmas
    frames = [
        Frame(
            float(e),
            Measured(read[i], 0.003),
            0.0,
            Measured(read[i + len(EXTENSIONS)], 0.5),
            Measured(read[i + 2 * len(EXTENSIONS)], 0.4),
        )
        for i, e in enumerate(EXTENSIONS)
    ]
    return Session(frames, turned=turned, camera_register=18.0), model, read, sigmas


@pytest.mark.parametrize("turned", [False, True])
def test_distances_and_magnifications_together_fit_as_scipys_curve_fit_does(turned: bool) -> None:
    session, model, read, sigmas = joint_readings(turned)
    fitted = fit(session)
    start = fitted.values * 1.01
    values, covariance = optimize.curve_fit(
        model, np.zeros(1), read, start, sigmas, absolute_sigma=True, ftol=1e-15, xtol=1e-15, gtol=1e-15
    )
    assert fitted.values == pytest.approx(values, rel=1e-6)
    assert fitted.covariance is not None
    assert fitted.covariance == pytest.approx(covariance, rel=1e-4)
    assert fitted.square_sum == pytest.approx(
        float((((read - model(np.zeros(1), *values)) / sigmas) ** 2).sum()), rel=1e-8
    )


def test_a_known_focal_length_joins_the_fit_as_one_more_reading_does_in_scipys() -> None:
    session, model, read, sigmas = joint_readings(False)
    fitted = fit(replace(session, focal_length=Measured(60.3, 0.1)))
    values, covariance = optimize.curve_fit(
        lambda x, *parameters: np.append(model(x, *parameters), parameters[0]),
        np.zeros(1),
        np.append(read, 60.3),
        fitted.values * 1.01,
        np.append(sigmas, 0.1),
        absolute_sigma=True,
        ftol=1e-15,
        xtol=1e-15,
        gtol=1e-15,
    )
    assert fitted.values == pytest.approx(values, rel=1e-6)
    assert fitted.covariance == pytest.approx(covariance, rel=1e-4)


def test_the_extra_sum_of_squares_is_that_of_two_fits_by_scipy() -> None:
    session, _, _, _ = joint_readings(False)
    fitted = fit(session)
    alone = fit(normal(np.array([frame.magnification.value for frame in session.frames]), 0.003))
    assert fitted.agreement is not None
    assert fitted.square_sum is not None
    assert alone.square_sum is not None
    extra = fitted.square_sum - alone.square_sum
    assert fitted.agreement.ratio == pytest.approx(extra / 8, rel=1e-6)  # ten distances tell two quantities
    assert fitted.agreement.probability == pytest.approx(float(stats.chi2.sf(extra, 8)), rel=1e-6)


def test_outliers_are_found_by_the_residual_in_the_fit_without_the_frame() -> None:
    """The studentised deleted residual, worked out by leaving the frame out; 95 % for seven frames together (Bonferroni)."""
    x = np.array([10.0, 20, 30, 40, 50, 60, 70])
    verdicts = set()
    for miss in (0.0, 0.003, 0.004, 0.005, 0.006, 0.007, 0.008, 0.01, 0.06):
        read = (x + 0.4) / 60 + 0.001 * np.array([1, -1.2, 0.4, 1.1, -0.9, 0.7, -1])
        read[3] += miss
        calibration = calibrate(Session([Frame(float(a), Measured(float(b))) for a, b in zip(x, read, strict=True)]))
        kept = np.arange(7) != 3
        line = straight_line(x[kept], read[kept], np.ones(6))
        variance = float(line.square_sum) / 4 * (1 + 1 / 6 + (x[3] - line.mean) ** 2 / line.spread)
        t = float(read[3] - line.intercept - line.slope * x[3]) / math.sqrt(variance)
        flagged = bool(abs(t) > stats.t.ppf(1 - 0.025 / 7, 4))
        assert calibration.residuals[3].outlier is flagged
        verdicts.add(flagged)
    assert verdicts == {False, True}


@pytest.mark.parametrize("degrees", [1, 2, 3, 7.5, 30, 1e5, math.inf])
def test_students_factor_is_scipys(degrees: float) -> None:
    expected = stats.norm.ppf(0.975) if math.isinf(degrees) else stats.t.ppf(0.975, degrees)
    assert student_factor(degrees) == pytest.approx(float(expected), rel=1e-9)


def test_students_factor_is_that_of_the_guides_table() -> None:
    """JCGM 100:2008, table G.2, 95 %, from memory."""
    printed = {1: 12.71, 2: 4.30, 3: 3.18, 4: 2.78, 5: 2.57, 10: 2.23, 20: 2.09}
    assert {degrees: round(student_factor(degrees), 2) for degrees in printed} == printed


@pytest.mark.parametrize("value", [0.02, 0.7, 1.0, 4.2, 45.0])
@pytest.mark.parametrize("upper", [1, 2, 5, 14])
def test_tails_are_scipys(value: float, upper: int) -> None:
    assert chi_square_tail(value, upper) == pytest.approx(float(stats.chi2.sf(value, upper)), rel=1e-9, abs=1e-15)
    assert f_tail(value, upper, 6) == pytest.approx(float(stats.f.sf(value, upper, 6)), rel=1e-9)
    assert f_tail(value, upper, math.inf) == pytest.approx(
        float(stats.chi2.sf(value * upper, upper)), rel=1e-9, abs=1e-15
    )
    assert student_tail(value, upper) == pytest.approx(float(2 * stats.t.sf(value, upper)), rel=1e-9)
    assert student_tail(-value, math.inf) == pytest.approx(float(2 * stats.norm.sf(value)), rel=1e-9, abs=1e-15)


RUNS = 10_000


def coverage(sessions: list[Session], names: dict[str, float]) -> dict[str, float]:
    """Share of the simulated calibrations whose 95 % interval holds the truth."""
    held = dict.fromkeys(names, 0)
    for session in sessions:
        estimates = estimates_of(session, fit(session))
        for name, truth in names.items():
            interval = estimates.interval(name)
            assert interval is not None
            held[name] += interval[0] <= truth <= interval[1]
    return {name: count / len(sessions) for name, count in held.items()}


def test_intervals_from_the_scatter_hold_the_truth_as_often_as_they_say() -> None:
    """JCGM 100, G.3 and G.6.4: Student's factor with n - 2 degrees of freedom; 10,000 calibrations drawn at random, as columns.

    The estimates are those of `fit`, which `test_a_lens_is_the_weighted_line_of_polyfit_turned_over` holds to the line.
    """
    draw = np.random.default_rng(6).normal(0, SIGMA, (len(EXTENSIONS), RUNS)) + TRUE[:, None]
    line = straight_line(EXTENSIONS, draw, np.ones_like(EXTENSIONS))
    scatter = line.square_sum / (len(EXTENSIONS) - 2)
    f, d0 = 1 / line.slope, line.intercept / line.slope
    middle = line.mean + d0
    u_f, u_d0 = (
        f * f * np.sqrt(scatter / line.spread),
        f * np.sqrt(scatter * (1 / line.weight + middle**2 / line.spread)),
    )
    for estimate, u, truth in ((f, u_f, FOCAL_LENGTH), (d0, u_d0, AT_INFINITY)):
        assert 0.93 < np.mean(np.abs(estimate - truth) <= student_factor(len(EXTENSIONS) - 2) * u) < 0.97
    first = calibrate(normal(draw[:, 0])).estimates
    assert first.uncertainty("focal_length_mm") == pytest.approx(float(u_f[0]), rel=1e-9)
    assert first.uncertainty("extension_at_infinity_mm") == pytest.approx(float(u_d0[0]), rel=1e-9)


@pytest.mark.parametrize("turned", [False, True])
def test_intervals_of_stated_uncertainties_hold_the_truth_as_often_as_they_say(turned: bool) -> None:
    """JCGM 100, 5.2 and G.2: every quantity of the joint fit, pupils included, in 1,000 calibrations drawn at random."""
    session, model, _, sigmas = joint_readings(turned)
    truth = (35.0, 21.0, 45.46, 9.0) if turned else (FOCAL_LENGTH, AT_INFINITY, 20.0, -4.0)
    rng = np.random.default_rng(7)
    readings = model(np.zeros(1), *truth) + rng.normal(0, 1, (1000, len(sigmas))) * sigmas
    pupils = np.array([12.0, 15.0]) + rng.normal(0, 0.1, (1000, 2))
    n = len(EXTENSIONS)
    sessions = [
        Session(
            [
                Frame(float(e), Measured(r[i], 0.003), 0.0, Measured(r[n + i], 0.5), Measured(r[2 * n + i], 0.4))
                for i, e in enumerate(EXTENSIONS)
            ],
            turned=turned,
            camera_register=18.0,
            entrance_pupil=Measured(p[0], 0.1),
            exit_pupil=Measured(p[1], 0.1),
        )
        for r, p in zip(readings, pupils, strict=True)
    ]
    f, q, g, h = truth
    names = {
        "focal_length_mm": f,
        "front_principal_plane_mm": q if turned else g,
        "rear_principal_plane_mm": g - f if turned else 18.0 - q - f,
        "principal_plane_separation_mm": h,
        "pupil_magnification": 1.25,
        "f_number_estimate": f / 12.0,
    }
    for name, share in coverage(sessions, names).items():
        assert 0.93 < share < 0.97, name
    assert session.turned is turned
    assert len(fit(session).values) == GLASS + 2
