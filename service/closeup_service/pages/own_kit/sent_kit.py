"""A form that took a kit along, in a field of its own or as a file."""

from __future__ import annotations

from flask import Request
from msgspec import Struct
from werkzeug.datastructures import MultiDict

from closeup_service.language import mark, tr
from closeup_service.operations.asking.refusals import Refusal
from closeup_service.pages.asking import OwnKit, Sent, Studio
from closeup_service.pages.own_kit import kit_text

KIT, KIT_FILE = "kit", "kit_file"
"""Fields of a form that hold a kit: the one that the page takes along, and a file."""
NO_KIT = mark("Choose a kit file.")
LARGE = "content-too-large"


class SentKit(Struct, frozen=True):
    """The kit, or what is wrong with it, and everything else that was sent; without a kit at all that is the fault."""

    texts: MultiDict[str, str]
    own: OwnKit | None = None
    faults: tuple[str, ...] = ()
    is_missing: bool = False


def read(request: Request, studio: Studio) -> SentKit:
    """Read a form; a file counts before the kit that the page took along."""
    sent = studio.read_kit_form(request)
    if isinstance(sent, Refusal):
        told = tr(kit_text.TOO_LARGE) if sent.slug == LARGE else sent.detail
        return SentKit(MultiDict(), faults=(told,))
    texts = MultiDict(pair for pair in sent.texts.items(multi=True) if pair[0] not in (KIT, KIT_FILE))
    content = content_of(sent)
    if not content:
        return SentKit(texts, faults=(tr(NO_KIT),), is_missing=True)
    found = kit_text.read_text(content)
    return SentKit(texts, found) if isinstance(found, OwnKit) else SentKit(texts, faults=tuple(found))


def content_of(sent: Sent) -> str | bytes:
    """Text of the kit that was sent; empty where none was."""
    file = sent.files.get(KIT_FILE)
    return file.content if file is not None else sent.texts.get(KIT, "")
