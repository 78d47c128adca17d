"""Kits for tests: small invented ones, and random rings."""

import copy
from typing import Any

from hypothesis import strategies as st
from marshmallow import ValidationError

from closeup_service.operations.asking.refusals import faults
from closeup_service.schemas.kit import read_kit

Members = dict[str, Any]

BODY = {"mount": "bayonet-18.0", "side": "body"}
LENS_SIDE = {"mount": "bayonet-18.0", "side": "lens"}

SOUND: Members = {
    "name": "A kit for tests (invented)",
    "mounts": [{"id": "house-bayonet", "name": "bayonet of the house", "register_mm": 20.0}],
    "cameras": [{"id": "body", "name": "Camera", "mount": "bayonet-18.0", "sensor": "23.5x15.6"}],
    "lenses": [
        {
            "id": "fifty",
            "name": "50 mm f/2",
            "mount": "M42x1",
            "front_thread": "M49x0.75",
            "front_diameter_mm": 51,
            "least_f_number": 2,
            "greatest_f_number": 16,
            "sharp_from_f_number": 5.6,
            "measured_edge_width": {
                "measured_edge_width_um": 9,
                "magnification": 1,
                "f_number": 8,
                "mounting": "reversed",
            },
            "settings": [
                {
                    "id": "infinity",
                    "focal_length_mm": 51.6,
                    "pupil_magnification": 0.98,
                    "front_principal_plane_mm": 27,
                    "uncertainty": {
                        "parameters": ["focal_length_mm", "front_principal_plane_mm"],
                        "covariance": [[0.01, 0.004], [0.004, 0.04]],
                    },
                },
                {"id": "near", "focal_length_mm": 50.9, "f_numbers": [2.8, 4, 5.6, 8], "calibrated_on": "2026-03-14"},
            ],
        }
    ],
    "tubes": [{"id": "tube", "name": "Tube", "front": BODY, "rear": LENS_SIDE, "length_mm": 12}],
    "bellows": [
        {
            "id": "bellows",
            "name": "Bellows",
            "front": {"mount": "house-bayonet", "side": "body"},
            "rear": LENS_SIDE,
            "minimum_length_mm": 40,
            "maximum_length_mm": 160,
        }
    ],
    "reversing_rings": [
        {
            "id": "reversing",
            "name": "Reversing ring",
            "front": {"thread": "M49x0.75", "gender": "external"},
            "rear": LENS_SIDE,
            "length_mm": 3.5,
            "clear_diameter_mm": 43,
        }
    ],
    "step_rings": [
        {
            "id": "step",
            "name": "Step-up ring",
            "front": {"thread": "M52x0.75", "gender": "internal"},
            "rear": {"thread": "M49x0.75", "gender": "external"},
            "length_mm": 2.6,
        }
    ],
    "mount_adapters": [
        {
            "id": "adapter",
            "name": "Adapter",
            "front": {"mount": "M42x1", "side": "body"},
            "rear": LENS_SIDE,
            "length_mm": 27.46,
        }
    ],
    "close_up_lenses": [{"id": "close-up", "name": "Close-up lens", "thread": "M49x0.75", "power_dpt": 2}],
    "converters": [
        {"id": "converter", "name": "Converter", "mount": "bayonet-18.0", "factor": 1.4, "added_length_mm": 18}
    ],
    "objectives": [
        {
            "id": "objective",
            "name": "Objective",
            "thread": "M26x36tpi",
            "magnification": 5,
            "numerical_aperture": 0.14,
            "tube_lens_focal_length_mm": 200,
            "working_distance_mm": 34,
            "parfocal_distance_mm": 95,
        }
    ],
}
"""One part of each kind, with nothing wrong."""


def sound() -> Members:
    return copy.deepcopy(SOUND)


def changed(pointer: str, value: Any) -> Members:
    """The sound kit with one member changed, or taken out where the value is `...`."""
    kit = sound()
    *path, last = [int(step) if step.isdigit() else step for step in pointer.split("/")[1:]]
    at: Any = kit
    for step in path:
        at = at[step]
    if value is ...:
        del at[last]
    else:
        at[last] = value
    return kit


def faults_of_kit(kit: Any) -> list[dict[str, str]]:
    """Faults of a kit, each with its pointer; none where it is taken."""
    try:
        read_kit(kit, "request")
    except ValidationError as refusal:
        return [fault._asdict() for fault in faults(refusal.messages)]
    return []


def ring(number: int, front: Members, rear: Members, length: float) -> Members:
    return {"id": f"ring-{number:02}", "name": "Ring", "front": front, "rear": rear, "length_mm": length}


@st.composite
def threads(draw: st.DrawFn) -> Members:
    size = draw(st.sampled_from(["M49x0.75", "M52x0.75", "M55x0.75", "M58x0.75", "M62x0.75"]))
    return {"thread": size, "gender": draw(st.sampled_from(["external", "internal"]))}


@st.composite
def kits_of_rings(draw: st.DrawFn) -> Members:
    """Up to nine rings between five threads, many of them alike, whole and half millimetres thick."""
    lengths = st.integers(2, 10).map(lambda half: half / 2)
    count = draw(st.integers(0, 9))
    rings = [ring(number, draw(threads()), draw(threads()), draw(lengths)) for number in range(count)]
    return {"name": "Random rings", "step_rings": rings}
