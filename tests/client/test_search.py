"""Searches through the client."""

import pytest

from closeup_client import Client


def test_a_hit_is_evaluated_as_it_is(client: Client) -> None:
    answer = client.search(
        camera={"use": "field-camera"}, subject_width_mm=12, subject_depth_mm=1, most_stack_frames=4, best=3
    )
    assert len(answer.hits) == 3
    assert answer.purchase is None
    best = answer.hits[0]
    evaluated = client.evaluate(**best.document)
    assert evaluated.magnification == pytest.approx(best.magnification, rel=1e-12)
    assert evaluated.stack_frames == best.stack_frames
    assert best.criteria.framing < 0.3


def test_what_to_relax_and_to_buy_is_told(client: Client) -> None:
    answer = client.search(
        camera={"mount": "bayonet-18.0", "sensor": "23.5x15.6"},
        subject_width_mm=40,
        least_working_distance_mm=150,
        longest_rig_mm=120,
        budget=20,
    )
    assert answer.hits == ()
    assert {each.wish for each in answer.relaxations} == {"least_working_distance_mm", "longest_rig_mm"}
    assert answer.purchase is not None
    assert answer.purchase.hit.rig_length_mm is not None
    assert answer.purchase.hit.rig_length_mm <= 120
