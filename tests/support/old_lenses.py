"""A kit of old lenses without data sheets, to reverse (invented)."""

from typing import Any

BODY = {"mount": "bayonet-18.0", "side": "body"}
LENS_SIDE = {"mount": "bayonet-18.0", "side": "lens"}
RING_MM, TUBE_MM = 7, 25
COMPLETE = {"front_principal_plane_mm": 38, "principal_plane_separation_mm": 12, "pupil_magnification": 1.5}


def lens(part_id: str, focal_length: float, **more: Any) -> dict[str, Any]:
    """A lens of which only the engravings are known."""
    return {
        "id": part_id,
        "name": part_id,
        "mount": "M42x1",
        "front_thread": "M49x0.75",
        "f_numbers": [2.8, 4, 5.6, 8, 11, 16],
        "focal_length_mm": focal_length,
        **more,
    }


def kit(*lenses: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Kit with these lenses, a reversing ring, an adapter and a tube."""
    thread = {"thread": "M49x0.75", "gender": "external"}
    ring = {"id": "ring", "name": "Ring", "front": thread, "rear": LENS_SIDE, "length_mm": RING_MM}
    adapter = {"front": {"mount": "M42x1", "side": "body"}, "rear": LENS_SIDE, "length_mm": 27.46}
    return {
        "name": "old lenses (invented)",
        "cameras": [{"id": "body", "name": "Camera", "mount": "bayonet-18.0", "sensor": "36x24"}],
        "lenses": list(lenses),
        "reversing_rings": [ring],
        "mount_adapters": [{"id": "adapter", "name": "Adapter", **adapter}],
        "tubes": [{"id": "tube", "name": "Tube", "front": BODY, "rear": LENS_SIDE, "length_mm": TUBE_MM}],
        **more,
    }
