"""The texts: reading, the lesson, the physics, cautions, catalogue, running the service, privacy; one template each."""

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache

from flask import Blueprint, render_template
from markupsafe import Markup, escape
from msgspec import Struct

from closeup_service.advice import caution_texts
from closeup_service.advice.figures import decimal
from closeup_service.gear.catalogue import THREADS, Thread
from closeup_service.language import spoken, tr_worded, with_decimal_sign
from closeup_service.pages.asking import Studio
from closeup_service.pages.lesson import Lesson
from closeup_service.pages.measured import MEASURED
from closeup_service.pages.narrowing import covered_lenses, narrowed_ranges
from closeup_service.pages.reference import concerns, listings
from closeup_service.pages.rendering import send_text
from closeup_service.pages.running import Running, said
from closeup_service.worked.registry import published

INDEX = re.compile(r"(?<=[^\W\d_])_(\w+)")
DECIMAL = re.compile(r"\d\.\d")
ENLARGING = "enlarging-lens thread"


class Text(Struct, frozen=True):
    """One text: its address, its template, and the cautions that stand in it."""

    address: str
    template: str
    cautions: tuple[caution_texts.Text, ...] = ()


LESSON_CAUTIONS = (
    caution_texts.FLASH_NEAR_EYES,
    caution_texts.REPEATED_FLASHES,
    caution_texts.HOT_LAMP,
    caution_texts.SHARP_THINGS,
    caution_texts.STANDS_AND_CABLES,
    caution_texts.LIVE_SUBJECT,
    caution_texts.EXPOSED_REAR,
    caution_texts.LENS_CHANGE,
)
READING = (
    Text(
        "/reading/lenses-without-aperture-ring",
        "no_aperture_ring.html",
        (
            caution_texts.SUN_THROUGH_LENS,
            caution_texts.LIVE_CAMERA,
            caution_texts.EXPOSED_REAR,
            caution_texts.LENS_CHANGE,
            caution_texts.REACHES_MIRROR,
        ),
    ),
    Text(
        "/reading/enlarger-lenses",
        "enlarger_lenses.html",
        (
            caution_texts.THORIATED_GLASS,
            caution_texts.GLASS_IN_THE_SUN,
            caution_texts.LENS_CHANGE,
            caution_texts.HEAVY_RIG,
        ),
    ),
    Text(
        "/reading/lenses-known-by-their-engravings",
        "known_by_engravings.html",
        (
            caution_texts.EXPOSED_REAR,
            caution_texts.HIDDEN_PROTRUSION,
            caution_texts.REACHES_MIRROR,
            caution_texts.LIVE_CAMERA,
            caution_texts.LENS_CHANGE,
        ),
    ),
    Text(
        "/reading/protecting-a-reversed-lens",
        "protecting_a_reversed_lens.html",
        (
            caution_texts.SHARP_THINGS,
            caution_texts.PRESERVING_FLUID,
            caution_texts.MOVING_RAIL,
            caution_texts.LIVE_SUBJECT,
            caution_texts.EXPOSED_REAR,
            caution_texts.WORKING_NEAR_GLASS,
            caution_texts.HIDDEN_PROTRUSION,
            caution_texts.STACK_COLLISION,
            caution_texts.LENS_CHANGE,
        ),
    ),
    Text("/physics", "physics.html"),
    Text("/cautions", "all_cautions.html"),
    Text("/catalogue", "catalogue.html"),
    Text("/running", "running.html"),
    Text("/privacy", "privacy.html"),
)
LESSON = Text("/lesson", "lesson.html", LESSON_CAUTIONS)
ANSWERS = Text("/lesson/answers", "lesson.html", LESSON_CAUTIONS)


def add_to(blueprint: Blueprint, studio: Studio, contact: str, running: Running) -> None:
    """Add the texts; each is written once in a language, when first asked for."""
    blueprint.add_app_template_filter(with_indices, "with_indices")
    worked = cache(lambda language: Lesson(studio))
    for text in READING:
        add(blueprint, text, lambda: text_values(contact, running, studio))
    for text in (LESSON, ANSWERS):
        add(blueprint, text, lambda text=text: {"lesson": worked(spoken()), "answers": text is ANSWERS})  # type: ignore[misc]


def text_values(contact: str, running: Running, studio: Studio) -> dict[str, object]:
    """What the texts read from elsewhere."""
    threads = enlarging_threads()
    return {
        "contact": contact, "running": running, "measured": MEASURED, "threads": threads, "formulas": published(),
        "said": said, "tr_worded": tr_worded,
        "narrowed": lambda: narrowed_ranges(studio), "covered": covered_lenses,
        "concerns": concerns, "listings": lambda: listings(studio),
    }  # fmt: skip


def add(blueprint: Blueprint, text: Text, values: Callable[[], Mapping[str, object]]) -> None:
    """Add one text."""
    written = cache(
        lambda language: render_template(
            text.template, plain=decimal, cautions=describe_cautions(text.cautions), **values()
        )
    )
    blueprint.add_url_rule(
        text.address, text.address.strip("/").replace("/", "-"), lambda: send_text(written(spoken()))
    )


def describe_cautions(cautions: Sequence[caution_texts.Text]) -> list[caution_texts.Caution]:
    """Cautions in their general words, people first."""
    return [each.record() for each in sorted(cautions, key=lambda each: caution_texts.ORDER[each.concerns])]


def with_indices(formula: str) -> Markup:
    """Formula with its indices set below the line, and its numbers as the language writes them."""
    written = DECIMAL.sub(lambda number: with_decimal_sign(number[0]), formula)
    return Markup(INDEX.sub(r"<sub>\1</sub>", str(escape(written))))  # nosec B704  # escaped first


def enlarging_threads() -> list[Thread]:
    """Threads of the catalogue that enlarging lenses have, and other mount threads of the same diameters."""
    diameters = {each.diameter_mm for each in THREADS.values() if any(ENLARGING in name for name in each.names)}
    return [each for each in THREADS.values() if each.use == "mount" and each.diameter_mm in diameters]
