"""Edge widths told and drawn, over widths of marks and blurs: `python tests/support/edge_widths.py` prints a table."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from closeup_service.measuring.ruler.picture import shrink
from closeup_service.measuring.ruler.reading import read_ruler
from closeup_service.optics.errors import OpticsError
from ruler_scenes import Scale, Scene, render

PERIOD_PX = 24.0
OF_A_DISK = 1.3741
"""A disk of radius 1 rises from 10 to 90 % in so much (u with 1/2 + (u sqrt(1 - u^2) + asin u) / pi = 0.9, doubled)."""


def seen_by_pixels(scene: Scene, finer: int = 4) -> NDArray[np.uint8]:
    """The photograph with every pixel the mean of finer ones, and noise; drawn ones are values at points."""
    fine = replace(
        scene,
        width=scene.width * finer,
        height=scene.height * finer,
        pixels_per_mm=scene.pixels_per_mm * finer,
        blur_px=scene.blur_px * finer,
        noise=0.0,
    )
    mean = shrink(render(fine).astype(np.float32), finer)
    grain = np.random.default_rng(4).normal(0, scene.noise, mean.shape)
    return np.asarray(np.clip(mean + grain + 0.5, 0, 255), np.uint8)


def widths_told(edge_px: float, mark_px: float) -> list[float]:
    """Edge widths in the zones of a ruler whose edges and marks are so wide."""
    scale = Scale(width_mm=mark_px / PERIOD_PX, numerals_every=0)
    scene = Scene(600, 400, PERIOD_PX, angle_deg=12.0, across_mm=2.0, scale=scale, blur_px=edge_px / OF_A_DISK)
    return [zone.edge_width_px for zone in read_ruler(seen_by_pixels(scene), 1.0).sharpness if zone is not None]


def main() -> None:
    """Print the mean of the zones over what was drawn, less 1."""
    edges = (0.7, 1.4, 2.1, 3.0, 4.5, 6.0, 8.0)
    print("mark px", *(f"{edge:9.1f}" for edge in edges))  # noqa: T201
    for mark in (1.5, 2.5, 4.0, 6.0, 9.0, 12.0):
        row = []
        for edge in edges:
            try:
                row.append(f"{np.mean(widths_told(edge, mark)) / edge - 1:+9.1%}")
            except OpticsError as refusal:
                row.append(f"{refusal.code:>9.9s}")
        print(f"{mark:7.1f}", *row, flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
