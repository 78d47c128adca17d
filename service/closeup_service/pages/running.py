"""What the page about running the service is handed."""

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from closeup_service.language import tr


class StatedSetting(Struct, frozen=True):
    """One setting, in words."""

    option: str
    variable: str
    default: str
    takes: str
    meaning: str


class Running(Struct, frozen=True):
    """Settings, exit codes, and the members of a line of the log for requests, for those logged in full, for the rest."""

    settings: Sequence[StatedSetting]
    exit_codes: Mapping[int, str]
    request_members: Mapping[str, str]
    full_members: Mapping[str, str]
    other_members: Mapping[str, str]
    access_log: str


def said(texts: Mapping[Any, str]) -> list[tuple[Any, str]]:
    """Texts with what each is of, in the language that is spoken."""
    return [(of, tr(text)) for of, text in texts.items()]
