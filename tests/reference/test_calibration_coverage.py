"""Whether 95 % intervals hold the truth 93 to 97 times in 100, in simulated sessions; and the scatter against its likelihood.

The sessions are seeded and few: a share is let pass unless so high or low a count comes once in a hundred series whose true
share lies between 93 and 97 %. `tests/benchmarks/calibration_coverage.py` simulates every case with 2,000 sessions.
"""

from math import inf, log

import numpy as np
import pytest
from msgspec.structs import replace
from scipy import optimize, stats

from calibration_sessions import NORMAL, Case, coverage, drawn
from closeup_service.measuring.lens.calibration import QUANTITIES, calibrate
from closeup_service.measuring.lens.fit import fit
from closeup_service.measuring.lens.model import rows_of
from closeup_service.optics.effective_degrees import effective_degrees
from thoroughness import up_to

LEAST, MOST, RARE = 0.93, 0.97, 0.01
SESSIONS = up_to(150)
MOST_OUTLIERS = 0.07


def within(count: float, runs: int, least: float = LEAST, most: float = MOST) -> bool:
    return bool(stats.binom.ppf(RARE, runs, least) <= count <= stats.binom.ppf(1 - RARE, runs, most))


CASES = {
    "three frames by their scatter, with the register": Case(3, register=True),
    "three frames by their scatter, with the register and distances": Case(3, register=True, distances=True),
    "three frames by their scatter, with the register alone": Case(3, register=True, camera_register=False),
    "four frames by their scatter, with distances": Case(4, distances=True),
    "five frames as stated, with the register": Case(5, register=True, known=True),
    "three reversed by their scatter, with the register": Case(3, turned=True, register=True),
    "four reversed by their scatter, with distances": Case(4, turned=True, distances=True),
    "six reversed as stated, with the register and distances": Case(6, True, True, known=True, distances=True),
}


@pytest.mark.parametrize("name", CASES)
def test_intervals_hold_the_truth_as_often_as_they_say(name: str) -> None:
    case = CASES[name]
    told = coverage(case, SESSIONS, np.random.default_rng(2026))
    assert {
        "focal_length_mm",
        "rear_principal_plane_mm",
        "pupil_magnification",
        "f_number_estimate",
    } <= told.held.keys()
    assert ("front_principal_plane_mm" in told.held) is (case.turned or case.distances)
    for quantity, share in told.held.items():
        assert within(share * SESSIONS, SESSIONS), (quantity, share)
    assert told.outliers * SESSIONS <= stats.binom.ppf(1 - RARE, SESSIONS, MOST_OUTLIERS)


@pytest.mark.parametrize("known", [True, False])
def test_a_lens_that_is_set_a_fifth_of_a_millimetre_beside_its_register_is_told_as_such(known: bool) -> None:
    """The play is one stated standard uncertainty in every session: hardly any interval may lose it for that."""
    told = coverage(Case(3, register=True, known=known, residual=0.2), SESSIONS, np.random.default_rng(7))
    for quantity in ("rear_principal_plane_mm", "extension_at_infinity_mm", "magnification at 10 mm"):
        assert told.held[quantity] * SESSIONS >= stats.binom.ppf(RARE, SESSIONS, LEAST), quantity


def test_the_intervals_of_pupils_are_not_stretched_by_the_frames() -> None:
    """Their uncertainties are stated: 1.96 of them (JCGM 100, G.3), and for the f-number a little more for the focal length."""
    one = drawn(Case(3), np.random.default_rng(1))
    estimates = calibrate(one.session).estimates
    factors = {}
    for name in ("focal_length_mm", "pupil_magnification", "f_number_estimate"):
        interval, uncertainty = estimates.interval(name), estimates.uncertainty(name)
        assert interval is not None
        assert uncertainty is not None
        factors[name] = (interval[1] - interval[0]) / 2 / uncertainty
    assert factors["focal_length_mm"] == pytest.approx(12.7062, rel=1e-5)  # table of t, 1 degree
    assert factors["pupil_magnification"] == pytest.approx(1.959964, rel=1e-6)
    assert 1.96 < factors["f_number_estimate"] < 4


DRAWS = up_to(20_000)
GRID = np.concatenate([np.geomspace(1, 1e4, 4000), [1e9]])
FACTORS = stats.t.ppf(0.975, GRID)


@pytest.mark.parametrize("degrees", [1.0, 1.5, 2.0, 3.0, 6.0])
@pytest.mark.parametrize("ratio", [0.1, 0.3, 0.5, 1.0, 2.0, 4.0, 10.0])
def test_effective_degrees_make_intervals_that_hold_the_truth(degrees: float, ratio: float) -> None:
    """A sum of two errors: one of standard deviation 1 that is stated, one `ratio` times that whose scatter is estimated."""
    rng = np.random.default_rng([3, int(10 * degrees), int(10 * ratio)])
    variances = (ratio * ratio * rng.chisquare(degrees, DRAWS) / degrees).tolist()
    error = ratio * rng.normal(size=DRAWS) + rng.normal(size=DRAWS)
    effective = [effective_degrees(variance + 1, [(variance, degrees)]) for variance in variances]
    reach = np.interp(effective, GRID, FACTORS) * np.sqrt(np.array(variances) + 1)
    assert within(int(np.sum(np.abs(error) <= reach)), DRAWS)


def test_effective_degrees_at_their_ends_are_those_of_the_guide() -> None:
    """JCGM 100, G.4.1: one scatter alone keeps its degrees, several are pooled, and a stated part alone has no limit."""
    assert effective_degrees(4.0, [(4.0, 3.0)]) == 3.0
    assert (
        effective_degrees(4.0, [])
        == effective_degrees(4.0, [(0.0, 1.0)])
        == effective_degrees(0.0, [(0.0, 1.0)])
        == inf
    )
    assert effective_degrees(4.0, [(4.0, inf)]) == inf
    assert effective_degrees(3.0, [(1.0, 2.0), (2.0, 5.0)]) == pytest.approx(9 / (1 / 2 + 4 / 5))
    shares = [effective_degrees(1.0, [(share, 2.0)]) for share in (1.0, 0.9, 0.5, 0.1, 0.01)]
    assert shares == sorted(shares)
    assert shares[-1] > 100


@pytest.mark.parametrize("case", [Case(4, distances=True), Case(3, register=True), Case(5, True, True, distances=True)])
def test_the_scatter_is_where_the_restricted_likelihood_is_greatest(case: Case) -> None:
    """Searle, Casella and McCulloch, *Variance Components*, ch. 6 (from memory): maximised by scipy over the scatter."""
    session = drawn(case, np.random.default_rng(5)).session
    fitted = fit(session)
    assert fitted.sigmas is not None
    assert fitted.adjusted is not None
    n, free = case.frames, fitted.adjusted.free

    def loss(log_variance: float) -> float:
        sigmas = np.full(n, np.exp(log_variance / 2))
        rows = rows_of(session, fitted.values, sigmas)
        inverse, x, y = np.diag(rows.sigmas**-2.0), rows.derivatives[:, free], rows.read - rows.model
        normal = x.T @ inverse @ x
        left = y - x @ np.linalg.solve(normal, x.T @ inverse @ y)
        return float(2 * np.log(rows.sigmas).sum() + np.linalg.slogdet(normal)[1] + left @ inverse @ left)

    found = optimize.minimize_scalar(loss, bracket=(log(1e-7), log(1e-5)), tol=1e-12)
    assert float(fitted.sigmas[0]) ** 2 == pytest.approx(float(np.exp(found.x)), rel=1e-4)
    curvature = (loss(found.x + 0.01) - 2 * loss(found.x) + loss(found.x - 0.01)) / 0.01**2
    assert fitted.degrees == pytest.approx(curvature, rel=0.6)  # expected information for observed
    assert n - 2 <= fitted.degrees < n


def test_the_register_and_the_frames_are_weighed_as_two_readings_of_one_length() -> None:
    """Mean of the two registers with weights 1/u^2, and 1/u^2 of it the sum of theirs (Bevington, ch. 4, from memory).

    The lens is no straight line in its register, which makes some thousandths of a millimetre.
    """
    bare = drawn(Case(4, known=True), np.random.default_rng(3)).session
    alone = calibrate(bare).estimates
    found, u = (
        NORMAL.camera_register - (alone.values["extension_at_infinity_mm"] or 0.0),
        alone.uncertainty("extension_at_infinity_mm"),
    )
    assert u is not None
    for play in (0.01, 0.2, 5.0):
        both = calibrate(replace(bare, lens_register=NORMAL.register, infinity_stop_play=play)).estimates
        weights = np.array([1 / (u * u), 1 / (play * play)])
        expected = float(np.average([found, NORMAL.register], weights=weights))
        assert NORMAL.camera_register - (both.values["extension_at_infinity_mm"] or 0.0) == pytest.approx(
            expected, abs=2e-3
        )
        assert both.uncertainty("extension_at_infinity_mm") == pytest.approx(weights.sum() ** -0.5, rel=1e-2)


def test_no_quantity_of_the_simulation_is_left_out() -> None:
    """Between them the cases tell every quantity of a calibration."""
    told: set[str] = set()
    for case in (Case(4, distances=True), Case(4, turned=True)):
        told |= coverage(case, 2, np.random.default_rng(1)).held.keys()
    assert set(QUANTITIES) <= told
