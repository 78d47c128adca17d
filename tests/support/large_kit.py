"""A large invented kit for timings.

30 lenses with 50 settings, 6 tubes, 2 bellows, 6 close-up lenses, 2 converters, 18 rings and 2 adapters.
"""

import random
from typing import Any

THREADS = ("M49x0.75", "M52x0.75", "M58x0.75", "M67x0.75")
MOUNTS = ("bayonet-18.0", "M42x1", "bayonet-46.5")


def body(mount: str = "bayonet-18.0") -> dict[str, str]:
    return {"mount": mount, "side": "body"}


def lens_side(mount: str = "bayonet-18.0") -> dict[str, str]:
    return {"mount": mount, "side": "lens"}


def setting(draw: random.Random, number: int) -> dict[str, Any]:
    return {
        "id": f"s{number}",
        "focal_length_mm": round(draw.choice([24, 28, 35, 50, 60, 85, 100, 135, 200]) * draw.uniform(0.95, 1.05), 2),
        "pupil_magnification": round(draw.uniform(0.7, 1.8), 2),
        "front_principal_plane_mm": round(draw.uniform(10, 50), 1),
        "principal_plane_separation_mm": round(draw.uniform(0, 30), 1),
    }


def lens(draw: random.Random, number: int) -> dict[str, Any]:
    return {
        "id": f"lens-{number:02}",
        "name": "Lens",
        "mount": draw.choice(MOUNTS),
        "front_thread": draw.choice(THREADS),
        "aperture_series": "half",
        "least_f_number": draw.choice([1.4, 2, 2.8, 4]),
        "greatest_f_number": 22,
        "settings": [setting(draw, each) for each in range(3 if number < 10 else 1)],
    }


def large_kit(seed: int = 1) -> dict[str, Any]:
    draw = random.Random(seed)
    steps = [(outer, inner) for outer in THREADS for inner in THREADS if outer != inner]
    step_rings = [
        {
            "front": {"thread": outer, "gender": "internal"},
            "rear": {"thread": inner, "gender": "external"},
            "length_mm": 2.5,
        }
        for outer, inner in steps
    ]
    step_rings += [
        {
            "front": {"thread": each, "gender": "external"},
            "rear": {"thread": each, "gender": "external"},
            "length_mm": 2,
        }
        for each in THREADS[:2]
    ]
    lengths = (7.5, 10, 12.5, 16, 21, 31)
    return {
        "name": "large (invented)",
        "cameras": [{"id": "camera", "name": "Camera", "mount": MOUNTS[0], "sensor": "23.5x15.6", "pixel_pitch_um": 3.9}],
        "lenses": [lens(draw, number) for number in range(30)],
        "tubes": numbered("tube", ({**ends(), "length_mm": each, "clear_diameter_mm": 40} for each in lengths)),
        "bellows": numbered(
            "bellows",
            ({**ends(), "minimum_length_mm": 38 + each, "maximum_length_mm": 150 + 4 * each} for each in (0, 10)),
        ),
        "close_up_lenses": numbered(
            "close-up", ({"thread": draw.choice(THREADS), "power_dpt": each} for each in (1, 2, 3, 4, 5, 10))
        ),
        "converters": numbered(
            "converter", ({"mount": MOUNTS[0], "factor": k, "added_length_mm": added} for k, added in ((1.4, 18), (2, 32)))
        ),
        "mount_adapters": numbered(
            "adapter",
            ({"front": body(mount), "rear": lens_side(), "length_mm": each}
                for mount, each in zip(MOUNTS[1:], (27.46, 28.5), strict=True)),
        ),
        "reversing_rings": numbered(
            "reversing",
            ({"front": {"thread": each, "gender": "external"}, "rear": lens_side(), "length_mm": 3.5} for each in THREADS),
        ),
        "step_rings": numbered("step", step_rings),
    }  # fmt: skip


def many_parts(seed: int) -> dict[str, Any]:
    """30 lenses with 50 settings, 15 tubes and 5 bellows of any length to a tenth of a mm, 40 rings and adapters."""
    draw = random.Random(seed)
    made = large_kit(seed)
    rings = [*made["step_rings"], *made["reversing_rings"], *made["mount_adapters"]]
    spare = [
        {**draw.choice(made["step_rings"][:12]), "length_mm": round(draw.uniform(1, 6), 1)}
        for _ in range(40 - len(rings))
    ]
    made["step_rings"] = numbered("step", (*made["step_rings"], *spare))
    made["tubes"] = numbered(
        "tube",
        (
            {**ends(), "length_mm": round(draw.uniform(5, 50), 1), "clear_diameter_mm": round(draw.uniform(20, 45), 1)}
            for _ in range(15)
        ),
    )
    made["bellows"] = numbered(
        "bellows",
        (
            {**ends(), "minimum_length_mm": least, "maximum_length_mm": round(least + draw.uniform(50, 150), 1)}
            for least in (round(draw.uniform(30, 50), 1) for _ in range(5))
        ),
    )
    return {**made, "close_up_lenses": [], "converters": []}


def ends() -> dict[str, Any]:
    return {"front": body(), "rear": lens_side()}


def numbered(name: str, parts: Any) -> list[dict[str, Any]]:
    return [{"name": name, **part, "id": f"{name}-{number}"} for number, part in enumerate(parts)]
