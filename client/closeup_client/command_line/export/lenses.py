"""The lenses that static pages are written for: those of a kit, and those named on the command line."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from closeup_client.command_line.short_form.reading import BadWords, train_of
from closeup_client.command_line.table import Table

FULL_STOPS = (1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0)
WIDEST, SMALLEST = 2.8, 22.0
"""Ends of a ring whose own are not known."""


@dataclass(frozen=True, slots=True)
class Lens:
    """One lens at one setting: how it is called, its page, its data as the service takes them, and its marks."""

    name: str
    slug: str
    data: Mapping[str, float]
    marks: tuple[float, ...]
    basis: str
    element: Mapping[str, Any]
    """The lens as it stands in a train."""


def of_kit(kit: Mapping[str, Any]) -> Iterator[Lens]:
    """Lenses of a kit that are there, at each of their settings."""
    for lens in filter(is_there, kit["lenses"]):
        for setting in lens["settings"]:
            several = len(lens["settings"]) > 1
            ends = [(setting.get(end), lens.get(end)) for end in ("least_f_number", "greatest_f_number")]
            measured = setting.get("calibrated_on")
            yield Lens(
                f"{lens['name']}, {setting['id']}" if several else lens["name"],
                f"{lens['id']}-{setting['id']}" if several else lens["id"],
                {key: setting[key] for key in ("focal_length_mm", "pupil_magnification") if key in setting},
                marks(*(own or of_lens for own, of_lens in ends)),
                f"from the kit, measured on {measured}" if measured else "from the kit",
                {"element": "kit-part", "use": lens["id"], "setting": setting["id"]},
            )


def is_there(part: Mapping[str, Any]) -> bool:
    """Whether a part of the kit is owned and not lent."""
    return bool(part.get("owned", True) and part.get("available", True))


def named(texts: Sequence[str], table: Table) -> list[Lens]:
    """Lenses as they were named, such as `60mm f/2.8 p=1.1`; what f-number is named is the widest mark.

    Raises
    ------
    BadWords
        Where one is no lens.
    """
    lenses = []
    for text in texts:
        element = train_of(text, table.parts).elements[0]
        if element["element"] != "lens":
            raise BadWords(f"{text} is no lens.")
        data = {key: element[key] for key in ("focal_length_mm", "pupil_magnification") if key in element}
        slug = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
        lenses.append(Lens(text, f"named-{slug}", data, marks(element.get("f_number"), None), "as named", element))
    return lenses


def marks(widest: float | None, smallest: float | None) -> tuple[float, ...]:
    """Full stops of a ring between its ends; its widest mark too where it is none of them."""
    least, most = widest or WIDEST, smallest or SMALLEST
    between = {mark for mark in FULL_STOPS if least <= mark <= most}
    return tuple(sorted(between | {least}))
