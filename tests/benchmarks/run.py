"""What the sums cost, as ratios: `python tests/benchmarks/run.py [--json FILE]`. Nothing here passes or fails.

Each pair is measured in turns (A B A B …) and compared by medians of CPU time, on one pinned core where the system
lets us.
"""

import argparse
import json
import os
import platform
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from statistics import median
from typing import Any

import numpy as np
from flask import Flask

from closeup_service.optics.set_up import evaluate
from closeup_service.optics.wave import defocused_otf
from closeup_service.schemas.fields import load
from closeup_service.schemas.optimum_aperture import OptimumApertureRequest
from closeup_service.web.app import create_app
from closeup_service.web.operations import optimum_aperture

ROUNDS = 15
POINT = {
    "f": 35.0, "n": 8.0, "p": 1.3, "plane": 21.0, "register": 45.46, "camera": 18.0, "tube": 31.0,
    "width": 23.5, "height": 15.6, "blur": 0.019, "separation": 9.0,
}  # fmt: skip
DOCUMENT: Mapping[str, Any] = {
    "camera": {
        "register_mm": 18.0,
        "sensor_width_mm": 23.5,
        "sensor_height_mm": 15.6,
        "circle_of_confusion_mm": 0.019,
    },
    "train": [
        {
            "element": "lens",
            "reversed": True,
            "focal_length_mm": 35.0,
            "f_number": 8.0,
            "pupil_magnification": 1.3,
            "front_principal_plane_mm": 21.0,
            "principal_plane_separation_mm": 9.0,
            "register_mm": 45.46,
        },
        {"element": "spacer", "length_mm": 31.0},
    ],
}
BODY = json.dumps({"f_number": 8, "magnification": 1.5, "pupil_magnification": 1.3}).encode()
SET_UP = json.dumps(DOCUMENT).encode()


@dataclass(frozen=True)
class Row:
    """One comparison: microseconds of CPU a call, and how many times the floor."""

    what: str
    floor: str
    microseconds: float
    floor_microseconds: float
    ratio: float


def plain_sums(
    f: float, n: float, p: float, plane: float, register: float, camera: float, tube: float, width: float,
    height: float, blur: float, separation: float,
) -> tuple[float, ...]:  # fmt: skip
    """The same fourteen figures of one reversed lens, written out in plain floats."""
    m = (camera + tube + plane) / f - 1
    working = register + f / m
    to_sensor = f * (2 + m + 1 / m) + separation
    effective = n * (m + 1 / p)
    na = m / (2 * effective)
    inverse_half = m * m / (blur * effective)
    inverse_pupil = 1 / (f * (1 / m + p))
    return (
        m, width / m, height / m, working, working, to_sensor, to_sensor - working, effective, na,
        1 / (inverse_half + inverse_pupil), 1 / (inverse_half - inverse_pupil), 2 * blur * effective,
        2.43934 * 0.55 * effective, 0.60984 * 0.55 / na,
    )  # fmt: skip


def bare_view() -> Callable[[], object]:
    """Client call of a bare Flask view that answers a constant."""
    app = Flask("bare")

    @app.get("/")
    def view() -> str:
        return "constant"

    client = app.test_client()
    return lambda: client.get("/")


def posting(path: str, body: bytes) -> Callable[[], object]:
    """Client call of one operation by POST."""
    client = create_app().test_client()
    return lambda: client.post(path, data=body, content_type="application/json")


def getting(path: str) -> Callable[[], object]:
    """Client call of one operation by GET."""
    client = create_app().test_client()
    return lambda: client.get(path)


def cpu_of(call: Callable[[], object], calls: int) -> float:
    """CPU seconds a call."""
    started = time.process_time()
    for _ in range(calls):
        call()
    return (time.process_time() - started) / calls


def compare(what: str, call: Callable[[], object], floor: str, floor_call: Callable[[], object], calls: int) -> Row:
    """Measure two calls in turns."""
    call()
    floor_call()
    pairs = [(cpu_of(call, calls), cpu_of(floor_call, calls)) for _ in range(ROUNDS)]
    own, least = (median(times) * 1e6 for times in zip(*pairs, strict=True))
    return Row(what, floor, own, least, median(a / b for a, b in pairs))


def rows() -> list[Row]:
    """All comparisons."""
    bare = bare_view()
    query = "/v1/effective-f-number?f_number=8&magnification=1.5&pupil_magnification=1.3"
    return [
        compare("POST effective-f-number", posting("/v1/effective-f-number", BODY), "bare Flask view", bare, 200),
        compare("GET effective-f-number", getting(query), "bare Flask view", bare, 200),
        compare("POST set-ups/evaluate", posting("/v1/set-ups/evaluate", SET_UP), "bare Flask view", bare, 200),
        compare(
            "one point through the core", lambda: evaluate(DOCUMENT), "plain floats", lambda: plain_sums(**POINT), 1000
        ),
    ]


def wave_figures() -> dict[str, float]:
    """Milliseconds of CPU of the wave sums, each alone: a surface of 100 x 100 points, one best aperture."""
    frequency, waves = np.linspace(0, 1, 100)[:, None], np.linspace(0, 10, 100)
    asked = load(OptimumApertureRequest(), optimum_aperture.OPERATION.examples[0].request)
    return {
        "contrast surface of 100 x 100 points": cpu_of(lambda: defocused_otf(frequency, waves), 20) * 1e3,
        "one optimum-aperture answer": cpu_of(lambda: optimum_aperture.answer(asked), 50) * 1e3,
    }


def main() -> None:
    """Print the table, and write it as JSON where asked."""
    parser = argparse.ArgumentParser(description="What the sums cost, as ratios.")
    parser.add_argument("--json", metavar="FILE", help="write the figures there too")
    given = parser.parse_args()
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    machine = f"{platform.python_implementation()} {platform.python_version()}, {platform.machine()}, one core"
    measured = rows()
    print(machine)
    for row in measured:
        print(
            f"{row.what:28} {row.microseconds:9.1f} us   {row.floor:16} {row.floor_microseconds:8.1f} us   {row.ratio:6.2f} x"
        )
    waves = wave_figures()
    for what, milliseconds in waves.items():
        print(f"{what:40} {milliseconds:7.1f} ms")
    if given.json:
        with open(given.json, "w", encoding="utf-8") as file:
            json.dump(
                {"machine": machine, "rows": [asdict(row) for row in measured], "milliseconds": waves}, file, indent=2
            )


if __name__ == "__main__":
    main()
