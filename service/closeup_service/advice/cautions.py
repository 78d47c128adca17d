"""The rules that attach the usual cautions to an answer; their texts are in `caution_texts`.

Nothing is attached always: each rule reads what the request states. The rules are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from closeup_service.advice import caution_texts as texts
from closeup_service.advice.caution_texts import ORDER, TEXTS, Caution, Text

if TYPE_CHECKING:
    from closeup_service.records import requests

FOCUS_CAUTION_MM = 0.5
NEAR_DUTY = 0.8
"""Share of the flashes that a maker allows from which they are near that limit."""
ULTRAVIOLET_BELOW_NM, INFRARED_ABOVE_NM = 400.0, 780.0
"""Ends of the ultraviolet and the infrared (CIE, International Lighting Vocabulary, from memory)."""
MOST_LIGHT_PARTS = 2
"""A train of more parts than this hangs heavily on the mount."""

OF_A_FLASH = (
    "flash_t01_s",
    "flash_t05_s",
    "flash_recycle_s",
    "duty_limit_pops",
    "trigger_voltage_v",
)
"""Members that nobody gives without a flash."""
BY_LIGHT_SOURCE: Mapping[str, tuple[Text, ...]] = {
    "sun": (texts.SUN_THROUGH_LENS, texts.GLASS_IN_THE_SUN),
    "lamp": (texts.STRONG_LAMP, texts.HOT_LAMP, texts.STANDS_AND_CABLES),
    "ultraviolet-lamp": (texts.ULTRAVIOLET, texts.STANDS_AND_CABLES),
    "laser": (texts.LASER,),
}
BY_SUBJECT_KIND: Mapping[str, tuple[Text, ...]] = {
    "still": (),
    "living": (texts.LIVE_SUBJECT,),
    "person": (),
    "wet-specimen": (texts.SHARP_THINGS,),
    "fluid-specimen": (texts.PRESERVING_FLUID, texts.SHARP_THINGS),
}


def all_cautions() -> list[Caution]:
    """Every caution there is, in general words, people first."""
    return sort_cautions(text.record() for text in TEXTS)


def sort_cautions(cautions: Iterable[Caution]) -> list[Caution]:
    """People first, then animals, then gear; each caution once."""
    once: dict[str, Caution] = {}
    for caution in cautions:
        once.setdefault(caution["code"], caution)
    return sorted(once.values(), key=lambda caution: ORDER[caution["concerns"]])


def notes_of(found: Iterable[Text]) -> list[Caution]:
    """Word cautions that quote no value."""
    return [text.note() for text in found]


def light_cautions(
    request: requests.SurroundingsFields, flashes: float = 1, wavelength_nm: float | None = None
) -> list[Caution]:
    """Cautions of the light and the subject, and of a flash where the request tells of one."""
    told = bool(request.get("old_flash")) or any(name in request for name in OF_A_FLASH)
    return flash_cautions(request, flashes, wavelength_nm) if told else surroundings_cautions(request, wavelength_nm)


def flash_cautions(
    request: requests.SurroundingsFields,
    flashes: float = 1,
    wavelength_nm: float | None = None,
    *,
    heads: float = 1,
    in_joules: bool = False,
) -> list[Caution]:
    """Cautions of an answer about a flash that fires so many times, with those of its surroundings.

    `in_joules` says that the flash's energy is stated, as on studio heads.
    """
    found = [texts.FLASH_NEAR_EYES]
    if flashes > 1:
        found.append(texts.REPEATED_FLASHES)
    if in_joules or request.get("mains_powered") or request.get("old_flash") or "trigger_voltage_v" in request:
        found.append(texts.FLASH_NEVER_OPENED)
    if heads > 1:
        found.append(texts.STANDS_AND_CABLES)
    if request.get("subject_kind", "living") == "living":
        found.append(texts.FLASH_NEAR_ANIMALS)
    return [
        *notes_of(found),
        *trigger_cautions(request),
        *duty_cautions(request, flashes),
        *surroundings_cautions(request, wavelength_nm),
    ]


def trigger_cautions(request: requests.SurroundingsFields) -> list[Caution]:
    """What a flash's trigger voltage does to the camera; a voltage without the camera's limit is as one not known."""
    voltage, limit = request.get("trigger_voltage_v"), request.get("trigger_limit_v")
    if voltage is not None and limit is not None:
        return [texts.TRIGGER_OVER_LIMIT.note(voltage=voltage, limit=limit)] if voltage > limit else []
    return [texts.OLD_FLASH.note()] if voltage is not None or request.get("old_flash") else []


def duty_cautions(request: requests.SurroundingsFields, flashes: float) -> list[Caution]:
    """Flashes near or over the limit that the head's maker states."""
    limit = request.get("duty_limit_pops")
    if limit is None or flashes < NEAR_DUTY * limit:
        return []
    text = texts.OVER_DUTY if flashes > limit else texts.NEAR_DUTY
    return [text.note(flashes=flashes, limit=limit)]


def surroundings_cautions(request: requests.SurroundingsFields, wavelength_nm: float | None) -> list[Caution]:
    """Cautions of lamps, mains power and the kind of subject, apart from any flash."""
    notes = modelling_lamp_cautions(request)
    if request.get("mains_powered"):
        notes += notes_of([texts.MAINS_NEAR_WATER, texts.STANDS_AND_CABLES])
    notes += notes_of(BY_LIGHT_SOURCE.get(request.get("light_source", ""), ()))
    notes += notes_of(BY_SUBJECT_KIND.get(request.get("subject_kind", ""), ()))
    return notes + wavelength_cautions(wavelength_nm)


def modelling_lamp_cautions(request: requests.SurroundingsFields) -> list[Caution]:
    """Heat of a modelling lamp, in stronger words where it stands nearer than its maker allows."""
    distance, least = request.get("modelling_lamp_distance_mm"), request.get("least_lamp_distance_mm")
    if distance is None:
        return []
    if least is not None and distance < least:
        return [texts.HOT_LAMP_TOO_NEAR.note(distance=distance, least=least)]
    return [texts.HOT_LAMP.note()]


def wavelength_cautions(wavelength_nm: float | None) -> list[Caution]:
    """Ultraviolet and infrared light, by its wavelength: neither dazzles."""
    if wavelength_nm is None:
        return []
    if wavelength_nm < ULTRAVIOLET_BELOW_NM:
        return notes_of([texts.ULTRAVIOLET])
    return notes_of([texts.STRONG_LAMP] if wavelength_nm > INFRARED_ABOVE_NM else [])


def one_lens_cautions(mounting: str, wavelength_nm: float | None) -> list[Caution]:
    """Cautions of a request about one lens, by the way it is mounted and its light."""
    return mounting_cautions(mounting) + wavelength_cautions(wavelength_nm)


def lens_change_cautions() -> list[Caution]:
    """Cautions of taking parts off the camera."""
    return notes_of([texts.LENS_CHANGE])


def mounting_cautions(mounting: str) -> list[Caution]:
    """Cautions of one lens by the way it is mounted."""
    return notes_of([texts.EXPOSED_REAR, texts.LENS_CHANGE, texts.LIVE_CAMERA] if mounting == "reversed" else [])


def near_glass_cautions(clearance: float | None, subject_depth: float | None) -> list[Caution]:
    """Whether the subject can touch the glass or what stands out before it, and hands what is sharp there."""
    if clearance is None:
        return []
    if clearance <= 0:
        return [texts.HIDDEN_PROTRUSION.note(over=-clearance)]
    if subject_depth is not None and clearance <= subject_depth:
        return [texts.SHARP_THINGS.note(), texts.WORKING_NEAR_GLASS.note(clearance=clearance, depth=subject_depth)]
    return []


def stack_cautions(method: str, frames: int, least_clearance: float | None) -> list[Caution]:
    """Cautions of what moves between the frames of a stack."""
    notes = []
    if method == "rail" and frames > 1:
        notes.append(texts.MOVING_RAIL.note())
    if least_clearance is not None and least_clearance <= 0:
        notes += [texts.SHARP_THINGS.note(), texts.STACK_COLLISION.note(over=-least_clearance)]
    return notes


def objective_cautions(alone: bool, focus_error: float | None) -> list[Caution]:
    """Cautions of an infinity-corrected objective: no lens behind it, or one off its focus for infinity [mm]."""
    notes = [texts.OBJECTIVE_ALONE.note()] if alone else []
    if focus_error is not None and abs(focus_error) > FOCUS_CAUTION_MM:
        notes.append(texts.FOCUS_ERROR.note(error=abs(focus_error)))
    return notes


def train_cautions(train: Sequence[requests.Element], camera_register: float | None = None) -> list[Caution]:
    """Cautions of the parts themselves and of how they hang on the camera."""
    notes = []
    if train[0].get("reversed"):
        notes.append(texts.EXPOSED_REAR)
    if len(train) > 1 or train[0].get("reversed"):
        notes.append(texts.LENS_CHANGE)
    if any(is_wide_open(train, place) for place in range(len(train))):
        notes.append(texts.LIVE_CAMERA)
    if is_heavy(train):
        notes.append(texts.HEAVY_RIG)
    if camera_register is not None and can_reach_in(train, camera_register):
        notes.append(texts.REACHES_MIRROR)
    return notes_of(notes)


def is_wide_open(train: Sequence[requests.Element], place: int) -> bool:
    """Whether this part is a lens with a marked aperture that stands reversed or on tubes, out of the camera's reach."""
    part = train[place]
    on_tubes = any(behind["element"] == "spacer" for behind in train[place + 1 :])
    return part["element"] == "lens" and "f_number" in part and (bool(part.get("reversed")) or on_tubes)


def is_heavy(train: Sequence[requests.Element]) -> bool:
    """Whether the train has many parts, or tubes and bellows longer in all than the focal length of its shortest lens."""
    drawn_out = sum(part["length_mm"] for part in train if part["element"] == "spacer")
    focal_lengths = [part["focal_length_mm"] for part in train if part["element"] == "lens"]
    return len(train) > MOST_LIGHT_PARTS or drawn_out > min(focal_lengths, default=float("inf"))


def can_reach_in(train: Sequence[requests.Element], camera_register: float) -> bool:
    """Whether the rearmost lens or converter, made for another register, may reach through the tubes behind it.

    Behind its own flange no lens is longer than its own register; where the tubes are, it cannot reach the camera.
    """
    place = max((at for at, part in enumerate(train) if part["element"] != "spacer"), default=None)
    if place is None:
        return False
    part = train[place]
    if part.get("reversed") or (part["element"] != "lens" and part["element"] != "teleconverter"):
        return False
    tubes = sum(behind["length_mm"] for behind in train[place + 1 :] if behind["element"] == "spacer")
    own = part.get("register_mm", camera_register)
    return own != camera_register and tubes < own
