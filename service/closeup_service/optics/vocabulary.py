"""The vocabulary: one name per quantity, with its unit, bounds and meaning; everything that names a quantity reads it.

Lengths are in mm, wavelengths in nm, blur and pixels in um, powers in dioptres, times in s, speeds in mm/s, rotation in
rad/s, frequencies in Hz; the unit ends the name and pure ratios have none. Bounds are inclusive at both ends; quantities that
only come out have none.
"""

from msgspec import Struct

from closeup_service.optics.quantities import (
    Row,
    charts,
    equivalence,
    light,
    measuring,
    movement,
    search,
    set_up,
    sharpness,
    stacks,
)


class Quantity(Struct, frozen=True):
    """One quantity: name, unit ("" for a ratio), inclusive bounds of its input, label for people, meaning in one line."""

    name: str
    unit: str
    minimum: float | None
    maximum: float | None
    label: str
    meaning: str

    def holds(self, value: float) -> bool:
        """Whether a value lies within the bounds of its input; nothing does where it only comes out."""
        return self.minimum is not None and self.maximum is not None and self.minimum <= value <= self.maximum


ROWS: tuple[Row, ...] = (
    *set_up.ROWS,
    *sharpness.ROWS,
    *equivalence.ROWS,
    *movement.ROWS,
    *stacks.ROWS,
    *light.ROWS,
    *search.ROWS,
    *measuring.ROWS,
    *charts.ROWS,
)

VOCABULARY = {row[0]: Quantity(*row) for row in ROWS}
