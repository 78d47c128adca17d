"""A lens of one setting states its data itself; it is the same lens as with its setting listed."""

from typing import Any

import pytest

from closeup_service.schemas.kit import read_kit
from kits import Members, faults_of_kit, sound

OWN: Members = {
    "focal_length_mm": 51.6,
    "pupil_magnification": 0.98,
    "front_principal_plane_mm": 27,
    "principal_plane_separation_mm": 0.5,
    "uncertainty": {"parameters": ["focal_length_mm"], "covariance": [[0.01]]},
}


def prime(**more: Any) -> Members:
    """The sound kit, its lens with the data of its only setting beside what it says of its barrel."""
    kit = sound()
    lens = {name: value for name, value in kit["lenses"][0].items() if name != "settings"}
    return {**kit, "lenses": [{**lens, **OWN, **more}]}


def listed() -> Members:
    kit = prime()
    lens = {name: value for name, value in kit["lenses"][0].items() if name not in OWN}
    return {**kit, "lenses": [{**lens, "settings": [{"id": "only", **OWN}]}]}


def test_it_is_the_lens_that_lists_its_only_setting() -> None:
    short, long = read_kit(prime(), "request"), read_kit(listed(), "request")
    assert short.lenses == long.lenses
    assert short.revision == long.revision
    (setting,) = short.lenses[0].settings
    assert (setting.focal_length_mm, setting.register_mm, setting.marks[-1].nominal) == (51.6, 45.46, 16)


def test_it_is_listed_with_its_setting_and_its_listing_is_a_kit_again() -> None:
    kit = read_kit(prime(), "request")
    lenses: Any = kit.listing["lenses"]
    assert [setting["id"] for setting in lenses[0]["settings"]] == ["only"]
    assert read_kit(kit.listing, "request").revision == kit.revision


@pytest.mark.parametrize(
    ("more", "pointer", "words"),
    [
        ({"settings": [{"id": "near", "focal_length_mm": 50}]}, "/lenses/0/focal_length_mm", "lists settings"),
        ({"principal_plane_separation_mm": -61}, "/lenses/0/principal_plane_separation_mm", "The lens fifty: These"),
        ({"register_mm": 44}, "/lenses/0/register_mm", "a register of 45.46 mm"),
        ({"focal_length_mm": "50"}, "/lenses/0/focal_length_mm", "Give a number"),
        ({"f_number": 8}, "/lenses/0/f_number", "Unknown"),
        (
            {"uncertainty": {"parameters": ["f_number"], "covariance": [[1]]}},
            "/lenses/0/uncertainty/parameters/0",
            "gives no f_number",
        ),
    ],
)
def test_its_faults_are_laid_at_its_own_members(more: Members, pointer: str, words: str) -> None:
    found = faults_of_kit(prime(**more))
    assert any(fault["pointer"] == pointer and words in fault["detail"] for fault in found), found


def test_a_lens_without_settings_and_without_a_focal_length_is_told_both_ways() -> None:
    kit = prime()
    for name in OWN:
        del kit["lenses"][0][name]
    found = {fault["pointer"]: fault["detail"] for fault in faults_of_kit(kit)}
    assert found.keys() == {"/lenses/0/settings", "/lenses/0/focal_length_mm"}
    assert "or, for a lens of one setting" in found["/lenses/0/settings"]
