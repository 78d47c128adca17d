"""What to measure next: how much is worked out for it, and that it leaves no trace."""

import pytest

from closeup_service.estimates import next_measurements
from closeup_service.estimates.ensemble import Ensemble, estimate_lens, narrow
from closeup_service.estimates.known_lens import KnownLens
from closeup_service.estimates.next_measurements import find_next
from closeup_service.estimates.standing_lens import Standing

MOST_UPDATES = 60


def test_the_cost_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Ensemble] = []

    def count(*args: object) -> Ensemble:
        made.append(narrow(*args))  # type: ignore[arg-type]
        return made[-1]

    monkeypatch.setattr(next_measurements, "narrow", count)
    lens = KnownLens(focal_length_mm=50, register_mm=45.46, widest_f_number=1.8)
    found = find_next(estimate_lens(lens), Standing(True, 44, 50))
    assert len(found) == 6
    assert 0 < len(made) <= MOST_UPDATES


def test_ensembles_that_were_only_tried_are_not_kept() -> None:
    estimate_lens.cache_clear()
    find_next(estimate_lens(KnownLens(focal_length_mm=28)), Standing(True, 44, 0))
    assert estimate_lens.cache_info().currsize == 1
