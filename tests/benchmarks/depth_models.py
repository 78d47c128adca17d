"""Which simple model of the depth of field comes nearest to the wave sums: `python tests/benchmarks/depth_models.py`.

For blur criteria from 6 to 30 um and effective f-numbers from 4 to 64 the depth of each model is compared with the true
defocus at which a detail of 1/(2c) line pairs per mm has lost as much of its contrast in focus as a blur disk of diameter
c takes. Printed: median and root mean square of log2(model / true), that is, in octaves; 1 is a factor of two.
"""

from collections.abc import Callable, Mapping

import numpy as np

from closeup_service.optics.depth import combined_half_depth, geometric_half_depth, wave_half_depth
from closeup_service.optics.wave import Light, contrast_defocus, image_contrast

WAVELENGTH_NM = 550.0
LIGHT = Light.of((WAVELENGTH_NM,))
BLURS_MM = (0.006, 0.010, 0.019, 0.030)
EFFECTIVE = np.geomspace(4, 64, 17)
DISK_CONTRAST = 0.72
"""Contrast that a uniform disk of diameter c leaves at 1/(2c): 2 J1(pi/2)/(pi/2)."""
LEAST_CONTRAST = 0.02

MODELS: Mapping[str, Callable[[float, float], float]] = {
    "geometric": lambda n, c: geometric_half_depth(n, 1.0, c),
    "wave": lambda n, c: wave_half_depth(n, 1.0, WAVELENGTH_NM),
    "combined": lambda n, c: combined_half_depth(n, 1.0, c, WAVELENGTH_NM),
    "root of squares": lambda n, c: float(
        np.hypot(geometric_half_depth(n, 1.0, c), wave_half_depth(n, 1.0, WAVELENGTH_NM))
    ),
}


def errors() -> dict[str, list[float]]:
    """log2(model / true) for every case in which the detail is there at all."""
    found: dict[str, list[float]] = {name: [] for name in MODELS}
    for blur in BLURS_MM:
        for effective in map(float, EFFECTIVE):
            detail = 1 / (2 * blur)
            in_focus = float(image_contrast(detail, 0.0, effective, LIGHT))
            if in_focus < LEAST_CONTRAST:
                continue
            true = float(contrast_defocus(detail, DISK_CONTRAST * in_focus, effective, LIGHT))
            for name, model in MODELS.items():
                found[name].append(float(np.log2(model(effective, blur) / true)))
    return found


def main() -> None:
    """Print the table."""
    for name, values in errors().items():
        rms = float(np.sqrt(np.mean(np.square(values))))
        print(f"{name:16} median {np.median(values):+.2f}   rms {rms:.2f} octaves   ({len(values)} cases)")


if __name__ == "__main__":
    main()
