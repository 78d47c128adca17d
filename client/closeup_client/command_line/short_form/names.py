"""The words of the short form: how people name parts and their data. Every vocabulary name works beside them."""

from collections.abc import Mapping
from typing import NamedTuple

from closeup_client.command_line.operation import Field
from closeup_client.command_line.values import NUMBER, typed

BareForm = tuple[str, tuple[str, ...]]
"""Pattern of the whole of a bare value, and the names of what its groups give; compiled when first needed."""

KINDS: Mapping[str, str] = {
    "tube": "spacer",
    "ring": "spacer",
    "rings": "spacer",
    "bellows": "spacer",
    "helicoid": "spacer",
    "adapter": "spacer",
    "close-up": "close-up-lens",
    "converter": "teleconverter",
    "kit": "kit-part",
}
"""Words for the kinds of part; the kinds' own names work too."""

LENS = "lens"
"""What a part is that does not begin with the word for another kind."""


def _form(pattern: str, *names: str) -> BareForm:
    return pattern, names


class Names(NamedTuple):
    """Short names of one kind of part: for `name=value`, for words that stand alone, and for bare values."""

    short: Mapping[str, str] = {}
    words: Mapping[str, tuple[str, bool | str]] = {}
    bare: tuple[BareForm, ...] = ()
    open: str = ""
    example: str = ""
    """What may be said without a name, as people write it."""

    def field_named(self, written: str, fields: tuple[Field, ...]) -> Field | None:
        """Return the field that a short name or a vocabulary name means, with or without its unit."""
        name = written.lower().replace("_", "-")
        meant = self.short.get(name)
        for candidate in fields:
            if candidate.name == meant or name in (candidate.name.replace("_", "-"), typed(candidate.name)):
                return candidate
        return None

    def shortest(self, wanted: Field) -> str:
        """Return the short name of a field, or its own without the unit."""
        for short, name in self.short.items():
            if name == wanted.name:
                return short
        return typed(wanted.name)


_INCHES = r"(?:\d+-)?\d+/\d+(?:in|\"|″)"
_MEASURE = rf"({NUMBER}(?:mm|cm|m|in|\"|″)|{_INCHES})"
_TIMES = rf"({NUMBER}[x×]|[x×]{NUMBER})"

_FRAME = Names(
    short={
        "p": "pupil_magnification",
        "pupil": "pupil_magnification",
        "effective": "effective_f_number",
        "time": "exposure_time_s",
        "shutter": "exposure_time_s",
        "power": "flash_power",
        "distance": "flash_distance_mm",
        "source": "source_diameter_mm",
        "filters": "filter_stops",
        "diffuser": "flash_transmission",
    },
    words={"reversed": ("mounting", "reversed"), "normal": ("mounting", "normal")},
    bare=(
        _form(rf"([fF]/?{NUMBER})", "f_number"),
        _form(rf"{_TIMES}", "magnification"),
        _form(rf"({NUMBER}:{NUMBER})", "magnification"),
        _form(rf"({NUMBER}(?:/{NUMBER})?m?s)", "exposure_time_s"),
    ),
    example="f/8 2:1 1/125s, reversed",
)

NAMES: Mapping[str, Names] = {
    "lens": Names(
        short={
            "focal": "focal_length_mm",
            "p": "pupil_magnification",
            "pupil": "pupil_magnification",
            "plane": "front_principal_plane_mm",
            "rear-plane": "rear_principal_plane_mm",
            "separation": "principal_plane_separation_mm",
            "focusing": "focusing_extension_mm",
            "front": "front_diameter_mm",
            "protrusion": "front_protrusion_mm",
            "circle": "image_circle_mm",
            "class": "lens_class",
            "widest": "widest_f_number",
            "barrel": "barrel_length_mm",
            "iris": "entrance_pupil_depth_mm",
            "front-pupil": "entrance_pupil_diameter_mm",
            "rear-pupil": "exit_pupil_diameter_mm",
        },
        words={"reversed": ("reversed", True), "normal": ("reversed", False)},
        bare=(_form(_MEASURE, "focal_length_mm"), _form(rf"([fF]/?{NUMBER})", "f_number")),
        example="35mm f/8",
    ),
    "spacer": Names(
        short={"clear": "clear_diameter_mm"},
        bare=(_form(rf"({NUMBER}(?:mm|cm|m|in|\"|″)?|{_INCHES})", "length_mm"),),
        open="length_mm",
        example="31",
    ),
    "close-up-lens": Names(
        short={
            "focal": "focal_length_mm",
            "plane": "front_principal_plane_mm",
            "rear-plane": "rear_principal_plane_mm",
        },
        bare=(
            _form(_MEASURE, "focal_length_mm"),
            _form(rf"({NUMBER}(?:dpt|D))", "power_dpt"),
            _form(rf"(\+{NUMBER})", "power_dpt"),
        ),
        example="+2, 2dpt or 500mm",
    ),
    "teleconverter": Names(
        short={"focal": "focal_length_mm", "added": "added_length_mm"},
        bare=(_form(_TIMES, "factor"),),
        example="2x",
    ),
    "objective": Names(
        short={
            "na": "numerical_aperture",
            "tube-lens": "tube_lens_focal_length_mm",
            "tube": "tube_length_mm",
            "focal": "focal_length_mm",
            "wd": "working_distance_mm",
            "parfocal": "parfocal_distance_mm",
            "field": "field_number_mm",
        },
        bare=(_form(rf"{_TIMES}(?:/({NUMBER}))?", "magnification", "numerical_aperture"),),
        example="5x or 5x/0.14",
    ),
    "kit-part": Names(
        short={"focusing": "focusing_extension_mm"},
        words={"reversed": ("reversed", True), "normal": ("reversed", False)},
        bare=(
            _form(rf"([fF]/{NUMBER})", "f_number"),
            _form(_MEASURE, "length_mm"),
            _form(r"([a-z0-9][a-z0-9-]*)", "use"),
        ),
        open="length_mm",
    ),
    "camera": Names(
        short={"pitch": "pixel_pitch_um", "blur": "circle_of_confusion_mm"},
        bare=(_form(r"(\d[\d.,]*[x×]\d[\d.,]*)", "sensor"),),
        example="36x24 or full-frame",
    ),
    "reference": _FRAME,
    "planned": _FRAME,
    "frames": Names(
        bare=(
            _form(_MEASURE, "extension_mm"),
            _form(_TIMES, "magnification"),
            _form(rf"({NUMBER}:{NUMBER})", "magnification"),
        ),
        example="45mm 1.4:1",
    ),
    "measured": Names(
        short={
            "register": "camera_register_mm",
            "subject": "subject_width_mm",
            "sensor": "sensor_width_mm",
            "uncertainty": "magnification_uncertainty",
        },
        words={"reversed": ("mounting", "reversed"), "normal": ("mounting", "normal")},
        bare=(
            _form(_MEASURE, "extension_mm"),
            _form(_TIMES, "magnification"),
            _form(rf"({NUMBER}:{NUMBER})", "magnification"),
        ),
        example="reversed 7mm 2.1:1 register=44",
    ),
    "flash_scale": Names(
        short={"step": "step_stops"},
        words={kind: ("kind", kind) for kind in ("fraction", "joules", "stops-below-full", "dial")},
        example="fraction, joules, stops-below-full or dial",
    ),
    "ambient": Names(
        short={"ev": "exposure_value", "below": "below_mid_grey_stops", "speed": "sideways_speed_mm_s"},
        bare=(_form(rf"(?:[eE][vV])?({NUMBER})", "exposure_value"),),
        example="EV9",
    ),
    "finder": Names(
        short={"widest": "least_f_number", "focusing": "focusing_f_number"},
        bare=(_form(rf"([fF]/?{NUMBER})", "least_f_number"),),
        example="f/2.8, the widest mark",
    ),
    "target": Names(
        short={"wd": "working_distance_mm", "width": "subject_width_mm"},
        bare=(_form(rf"({NUMBER}|{NUMBER}:{NUMBER})", "magnification"), _form(rf"{_TIMES}", "magnification")),
        example="2, 2:1 or 2x",
    ),
}
"""By the kind of part, or by the name of a group of fields."""


def names_of(kind: str) -> Names:
    """Short names of a kind of part or of a group; a new kind has none and goes by its vocabulary names."""
    return NAMES.get(kind, Names())
