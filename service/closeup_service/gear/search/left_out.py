"""What a search cannot try, since the kit does not say enough, and what it assumes of the rest."""

from collections.abc import Iterator

from msgspec import Struct

from closeup_service.gear.kit import Lens, Setting
from closeup_service.gear.search.request import Request
from closeup_service.gear.search.units import usable_parts


class LeftOut(Struct, frozen=True):
    """Lenses, by id and where there are several by setting, of which one datum is not known."""

    no_marks: tuple[str, ...]
    no_front_plane: tuple[str, ...]
    no_front_thread: tuple[str, ...]
    no_rear_plane: tuple[str, ...]
    assumed_pupils: tuple[str, ...]

    @property
    def any_lens(self) -> bool:
        """Whether any lens is left out in any mounting."""
        return any((self.no_marks, self.no_front_plane, self.no_front_thread, self.no_rear_plane))


def find_left_out(request: Request) -> LeftOut:
    """Look through the lenses that are owned and at hand."""
    turned, normal = request.allows("reversed"), request.allows("normal")
    tried = [(lens, setting) for lens, setting in lenses(request) if setting.marks]
    return LeftOut(
        tuple(lens_name(lens, setting) for lens, setting in lenses(request) if not setting.marks),
        tuple(
            lens_name(lens, setting)
            for lens, setting in tried
            if turned and lens.front is not None and setting.front_principal_plane_mm is None
        ),
        tuple(dict.fromkeys(lens.id for lens, _ in tried if turned and lens.front is None)),
        tuple(
            lens_name(lens, setting)
            for lens, setting in tried
            if normal and setting.register_mm is None and setting.rear_principal_plane_mm is None
        ),
        tuple(lens_name(lens, setting) for lens, setting in tried if setting.pupil_magnification is None),
    )


def lenses(request: Request) -> Iterator[tuple[Lens, Setting]]:
    """Yield every setting of every lens that may be used."""
    for lens in usable_parts(request.kit.lenses):
        yield from ((lens, setting) for setting in lens.settings)


def lens_name(lens: Lens, setting: Setting) -> str:
    """Name of a lens at a setting."""
    return lens.id if len(lens.settings) == 1 else f"{lens.id} {setting.id}"


def assumed_pupils(request: Request) -> dict[str, float]:
    """Pupil magnifications that are assumed, by JSON pointer into the kit as /v1/kit lists it.

    Returns
    -------
    dict of floats, exit over entrance pupil
    """
    used = {lens.id for lens in usable_parts(request.kit.lenses)}
    return {
        f"/kit/lenses/{place}/settings/{number}/pupil_magnification": 1.0
        for place, lens in enumerate(request.kit.lenses)
        if lens.id in used
        for number, setting in enumerate(lens.settings)
        if setting.marks and setting.pupil_magnification is None
    }
