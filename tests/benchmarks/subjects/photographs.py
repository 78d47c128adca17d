"""A photograph of a ruler of 24 megapixels: the worker's processor time and its greatest memory, against decoding it alone.

The worker is a fresh one for each photograph of the scenes below, as a service is that is seldom sent one.
"""

import subprocess
import sys
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from statistics import median

from machine import cores
from persistent import Connection, prepared
from processes import Served, quiet_port, service, serving
from rows import Effort, Row
from ruler_pictures import jpeg
from ruler_scenes import HALF, Scene, render
from uploads import form

MEGAPIXELS = 24
PATH = "/v1/scale-reading/photo"
MM_OF_A_SCENE = Scene(
    6000, 4000, 60.0, colour=True, red_scale=1.0004, blue_scale=0.9996, background="wood", noise=3.0, vignetting=0.3
)
SCENES: Mapping[str, Scene] = {
    "on wood": replace(MM_OF_A_SCENE, angle_deg=-12.0, brushed=4.0, scale=HALF, seed=4),
    "slanting on cloth": replace(
        MM_OF_A_SCENE, pixels_per_mm=200.0, angle_deg=33.0, background="cloth", middle_mm=50.0
    ),
    "upright on knitting": replace(
        MM_OF_A_SCENE, pixels_per_mm=40.0, angle_deg=85.0, background="knit", middle_mm=50.0
    ),
}
DECODED_ALONE = """
import sys, time
from io import BytesIO
from PIL import JpegImagePlugin
content = sys.stdin.buffer.read()
started = time.process_time()
JpegImagePlugin.JpegImageFile(BytesIO(content)).load()
print(time.process_time() - started)
"""


def rows(effort: Effort) -> list[Row]:
    """Each scene once for every five pairs of turns."""
    return [row for name, scene in SCENES.items() for row in of_scene(name, scene, max(1, effort.pairs // 5))]


def of_scene(name: str, scene: Scene, times: int) -> list[Row]:
    """Processor time and memory of one scene."""
    content = jpeg(render(scene), subsampling=2)
    taken = [read_by_a_fresh_worker(content, scene.scale.pitch_mm) for _ in range(times)]
    cpu, floor = median(each[0] for each in taken), median(decoded_alone(content) for _ in range(times))
    pixels = scene.width * scene.height
    return [
        Row(f"photograph of {MEGAPIXELS} megapixels {name}", cpu, "s", "decoding alone", floor, cpu / floor, goal=5.5),
        Row(
            "the same, greatest memory added",
            median(each[1] for each in taken),
            "byte",
            "its pixels",
            3 * pixels,
            median(each[1] for each in taken) / (3 * pixels),
            goal=2.3,
        ),
    ]


def read_by_a_fresh_worker(content: bytes, pitch_mm: float) -> tuple[float, int]:
    """Processor seconds of the reading, and what the worker's memory grew by at most."""
    port = quiet_port()
    body, media_type = form({"tick_pitch_mm": pitch_mm}, [content])
    with serving(service(port), port, "/healthz") as served:
        connection = Connection(port)
        before, least = served.cpu_s, greatest_memory(served)
        connection.ask(prepared("POST", PATH, body, media_type))
        connection.close()
        return served.cpu_s - before, greatest_memory(served) - least


def greatest_memory(served: Served) -> int:
    """Bytes that the worker had at most so far."""
    lines = Path(f"/proc/{served.family[-1]}/status").read_text().splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith("VmHWM:"))


def decoded_alone(content: bytes) -> float:
    """Processor seconds of the decoder in a process of its own."""
    command = ["taskset", "-c", str(cores()[0]), sys.executable, "-c", DECODED_ALONE]
    return float(subprocess.run(command, input=content, capture_output=True, check=True).stdout)
