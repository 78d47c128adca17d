"""Gauss-Legendre nodes."""

import numpy as np
import pytest

from closeup_service.optics import wave
from closeup_service.optics.quadrature import nodes
from thoroughness import FULL

# NIST Digital Library of Mathematical Functions, table 3.5.2, ten nodes (from memory).
TEN = [
    (0.148874338981631, 0.295524224714753),
    (0.433395394129247, 0.269266719309996),
    (0.679409568299024, 0.219086362515982),
    (0.865063366688985, 0.149451349150581),
    (0.973906528517172, 0.066671344308688),
]

# The k-th of 1024 from the end, worked out with 40 digits by Newton's method in x and w = 2 / ((1 - x^2) P'^2).
OF_1024 = {
    1: ("0.9999972450545584403516182", "0.000007070076410182589871295805"),
    2: ("0.9999854843850284447675914", "0.0000164577275798968681068058"),
    10: ("0.9995529683257070064969677", "0.00009166757686136691072537337"),
    100: ("0.9535822683850968193944507", "0.0009234112228888108282346607"),
    512: ("0.001533231356062638406538746", "0.003066460309243908211551278"),
}


def test_ten_nodes_are_as_in_the_table() -> None:
    places, weights = nodes(10)
    assert np.allclose(places[5:], [place for place, _ in TEN], rtol=0, atol=5e-15)
    assert np.allclose(weights[5:], [weight for _, weight in TEN], rtol=0, atol=5e-15)


@pytest.mark.parametrize("k", OF_1024)
def test_of_a_thousand_nodes_each_keeps_its_digits(k: int) -> None:
    places, weights = nodes(1024)
    place, weight = map(float, OF_1024[k])
    assert abs(places[-k] - place) < 3e-16
    assert abs(places[k - 1] + place) < 3e-16
    assert weights[-k] == pytest.approx(weight, rel=1e-12)
    assert weights[k - 1] == weights[-k]


@pytest.mark.parametrize("count", [2, 4, 32, 48, 64, 128, 256, *([512, 1024] if FULL else [])])
def test_nodes_are_those_of_the_eigenvalues(count: int) -> None:
    places, weights = nodes(count)
    expected_places, expected_weights = np.polynomial.legendre.leggauss(count)
    assert np.allclose(places, expected_places, rtol=0, atol=3e-16)
    assert np.allclose(weights, expected_weights, rtol=0, atol=1e-13)
    assert weights.sum() == pytest.approx(2, rel=1e-14)


@pytest.mark.parametrize("count", [2, 10, 32, 128])
def test_polynomials_up_to_twice_the_nodes_are_integrated_exactly(count: int) -> None:
    places, weights = nodes(count)
    power = 2 * count - 2
    assert places**power @ weights == pytest.approx(2 / (power + 1), rel=1e-12)


def test_fine_detail_far_out_of_focus_solves_no_matrix(monkeypatch: pytest.MonkeyPatch) -> None:
    """The eigenvalues of a matrix of 1024 rows took seconds of every process's first request."""

    def no_matrix(*_: object, **__: object) -> None:
        raise AssertionError("a matrix is solved for nodes")

    nodes.cache_clear()
    monkeypatch.setattr(np.linalg, "eigvalsh", no_matrix)
    assert np.isfinite(wave.defocused_otf(0.5, 300.0))
    assert wave.count_nodes(np.array(2047.0)) == 1024
