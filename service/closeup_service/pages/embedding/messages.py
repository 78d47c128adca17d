"""The message catalogue: every text of the calculator that the service itself does not send, by key and language."""

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from closeup_service.advice.figures import SIGNS
from closeup_service.language import speaking
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.schemas import describing

SOURCE = "en"
LANGUAGES = (SOURCE, "de")


@cache
def catalogue(language: str) -> Mapping[str, str]:
    """Messages of one language."""
    return read(f"{language}.json")


@cache
def labels(language: str) -> Mapping[str, str]:
    """Labels of members in a language that they are translated into."""
    return read(f"labels.{language}.json")


@cache
def cautions(language: str) -> Mapping[str, str]:
    """Texts of the cautions by their codes, in a language that they are translated into; none in that of the service."""
    return {} if language == SOURCE else read(f"cautions.{language}.json")


def read(name: str) -> Mapping[str, str]:
    """One file of the catalogue."""
    folder = files("closeup_service.pages").joinpath("messages")
    found: dict[str, str] = json.loads(folder.joinpath(name).read_text(encoding="utf-8"))
    return found


def message(language: str, key: str, **values: str) -> str:
    """One message, its placeholders filled."""
    return catalogue(language)[key].format(**values)


def label(language: str, name: str) -> tuple[str, str]:
    """Label of a member and the language that it is in: English where it is not translated."""
    if language != SOURCE and name in labels(language):
        return labels(language)[name], language
    with speaking(SOURCE):  # whatever the page that makes a form speaks
        return describing.label(name), SOURCE


def unit_sign(language: str, name: str) -> str:
    """Unit of a quantity as people write it; nothing for what has none."""
    unit = VOCABULARY[name].unit if name in VOCABULARY else ""
    return catalogue(language).get(f"unit.{unit}", SIGNS.get(unit, unit))


def decimal_sign(language: str) -> str:
    """Point or comma."""
    return catalogue(language)["decimal_sign"]


def best_language(asked: str) -> str:
    """Language of the catalogue for a language tag such as `de-AT`; English where there is none."""
    primary = asked.split("-", 1)[0].lower()
    return primary if primary in LANGUAGES else SOURCE
