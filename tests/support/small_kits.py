"""Small random kits for the search."""

import random
from typing import Any

THREADS = ("M49x0.75", "M52x0.75")
MOUNTS = {"bayonet-18.0": 18.0, "M42x1": 45.46}


def body(mount: str) -> dict[str, str]:
    return {"mount": mount, "side": "body"}


def lens_side(mount: str) -> dict[str, str]:
    return {"mount": mount, "side": "lens"}


def setting(draw: random.Random, number: int) -> dict[str, Any]:
    known: dict[str, Any] = {
        "id": f"s{number}",
        "focal_length_mm": round(draw.uniform(20, 140), 2),
        "pupil_magnification": round(draw.uniform(0.6, 1.8), 2),
    }
    if draw.random() < 0.9:
        known["front_principal_plane_mm"] = round(draw.uniform(5, 45), 1)
    if draw.random() < 0.8:
        known["principal_plane_separation_mm"] = round(draw.uniform(20, 60), 1)
    if draw.random() < 0.4:
        known["front_protrusion_mm"] = round(draw.uniform(1, 9), 1)
    return known


def lens(draw: random.Random, number: int) -> dict[str, Any]:
    made: dict[str, Any] = {
        "id": f"lens-{number}",
        "name": "Lens",
        "mount": draw.choice(list(MOUNTS)),
        "f_numbers": sorted(draw.sample([1.4, 2, 2.8, 4, 5.6, 8, 11, 16], draw.randint(1, 4))),
        "settings": [setting(draw, each) for each in range(draw.choice([1, 1, 2]))],
    }
    if draw.random() < 0.4:
        made["sharp_from_f_number"] = draw.choice(made["f_numbers"])
    if draw.random() < 0.9:
        made["front_thread"] = draw.choice(THREADS)
    return made


def opening(draw: random.Random) -> dict[str, float]:
    return {"clear_diameter_mm": round(draw.uniform(12, 42), 1)} if draw.random() < 0.6 else {}


def tube(draw: random.Random, number: int) -> dict[str, Any]:
    mount = draw.choice(list(MOUNTS))
    ends = {"front": body(mount), "rear": lens_side(mount)}
    return {
        "id": f"tube-{number}",
        "name": "Tube",
        **ends,
        "length_mm": draw.choice([7.5, 10, 12, 20, 28]),
        **opening(draw),
    }


def kit(seed: int) -> dict[str, Any]:
    """A kit of a camera, up to three lenses, and a few of everything else; some parts lent or not owned."""
    draw = random.Random(seed)
    step = [{"thread": THREADS[0], "gender": "internal"}, {"thread": THREADS[1], "gender": "external"}]
    draw.shuffle(step)
    rings: dict[str, list[dict[str, Any]]] = {"mount_adapters": [], "reversing_rings": [], "step_rings": []}
    if draw.random() < 0.8:
        ends = {"front": body("M42x1"), "rear": lens_side("bayonet-18.0")}
        rings["mount_adapters"].append(
            {"id": "adapter", "name": "Adapter", **ends, "length_mm": 27.46, **opening(draw)}
        )
    for number, thread in enumerate(THREADS):
        if draw.random() < 0.7:
            ends = {"front": {"thread": thread, "gender": "external"}, "rear": lens_side(draw.choice(list(MOUNTS)))}
            rings["reversing_rings"].append(
                {"id": f"reversing-{number}", "name": "Ring", **ends, "length_mm": 3.5, **opening(draw)}
            )
    if draw.random() < 0.7:
        rings["step_rings"].append({"id": "step", "name": "Ring", "front": step[0], "rear": step[1], "length_mm": 2.5})
    for number in range(draw.randint(0, 2)):
        ends = {side: {"thread": draw.choice(THREADS), "gender": "external"} for side in ("front", "rear")}
        rings["step_rings"].append({"id": f"couple-{number}", "name": "Ring", **ends, "length_mm": 2, **opening(draw)})
    made: dict[str, Any] = {
        "name": "small (invented)",
        "cameras": [{"id": "camera", "name": "Camera", "mount": "bayonet-18.0", "sensor": "23.5x15.6"}],
        "lenses": [lens(draw, number) for number in range(draw.randint(1, 3))],
        "tubes": [tube(draw, number) for number in range(draw.randint(0, 3))],
        **rings,
    }
    if draw.random() < 0.6:
        mount = draw.choice(list(MOUNTS))
        made["bellows"] = [
            {"id": "bellows", "name": "Bellows", "front": body(mount), "rear": lens_side(draw.choice(list(MOUNTS))),
             "minimum_length_mm": draw.choice([30, 38]), "maximum_length_mm": draw.choice([60, 120]), **opening(draw)}
        ]  # fmt: skip
    made["close_up_lenses"] = [
        {
            "id": f"close-up-{number}",
            "name": "Lens",
            "thread": draw.choice(THREADS),
            "power_dpt": draw.choice([2, 4, 10]),
        }
        for number in range(draw.randint(0, 2))
    ]
    if draw.random() < 0.5:
        made["converters"] = [
            {"id": "converter", "name": "Converter", "mount": draw.choice(list(MOUNTS)), "factor": draw.choice([1.4, 2]),
             "added_length_mm": draw.choice([18, 30])}
        ]  # fmt: skip
    made["objectives"] = objectives(draw)
    for part in (*made["tubes"], *made["close_up_lenses"], *rings["step_rings"]):
        if draw.random() < 0.15:
            part[draw.choice(["available", "owned"])] = False
    return made


def objectives(draw: random.Random) -> list[dict[str, Any]]:
    """Perhaps an infinity-corrected objective that screws into the lenses' threads, perhaps a finite one."""
    made: list[dict[str, Any]] = []
    if draw.random() < 0.3:
        made.append({"id": "infinity", "name": "Objective", "thread": draw.choice(THREADS), "magnification": 2,
                     "numerical_aperture": 0.055, "tube_lens_focal_length_mm": 200, "working_distance_mm": 34})  # fmt: skip
    if draw.random() < 0.4:
        known = {"focal_length_mm": 38.0} if draw.random() < 0.7 else {}
        made.append({"id": "finite", "name": "Objective", "thread": draw.choice(THREADS), "magnification": 4,
                     "numerical_aperture": 0.1, "tube_length_mm": 160, "working_distance_mm": 17, **known})  # fmt: skip
    return made
