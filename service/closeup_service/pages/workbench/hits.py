"""Set-ups that a search found: the address that opens one, with its parts as parts of the kit."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, cast
from urllib.parse import urlencode

from closeup_service.gear.errors import KitRefuses
from closeup_service.gear.kit import Camera, Kit, Lens
from closeup_service.gear.kit_parts import CAMERA_MEMBERS, USE_OF_LENS, expand
from closeup_service.pages.elsewhere import plain_number
from closeup_service.pages.task import Members
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN

if TYPE_CHECKING:
    from closeup_service.records import requests

PARTS, DOCUMENT, LENGTH = "parts", "document", "length_mm"
"""Field that names the parts of the kit of which a document describes each in full."""


def address_of_hit(hit: Members) -> str:
    """Address of the page of one set-up that was found."""
    document = json.dumps(plain_number(hit[DOCUMENT]), separators=(",", ":"))
    parts = [str(each) for each in cast("Sequence[object]", hit[PARTS])]
    return f"/tasks/set-up?{urlencode([(DOCUMENT, document), *((PARTS, each) for each in parts)])}"


def with_parts_of_kit(document: Members, told: Sequence[str], kit: Kit) -> Members:
    """The document by the parts of the kit that were told, where they are just what it describes; else as it is."""
    train = document.get("train")
    if not isinstance(train, Sequence) or len(train) != len(told):
        return document
    if not all(isinstance(each, Mapping) for each in train):
        return document
    used = [use_of(words.split(), element, kit) for words, element in zip(told, train, strict=True)]
    by_kit = {**document, "train": used}
    if plain_number(expand_by_kit(by_kit, kit)) != plain_number(document):
        return document
    return {**by_kit, "camera": camera_of_kit(document["camera"], kit)}


def use_of(words: Sequence[str], element: Members, kit: Kit) -> Members:
    """Element that uses the part that words begin with, at the setting they name, as the element stands."""
    part = kit.by_id.get(words[0]) if words else None
    setting = {"setting": words[1]} if isinstance(part, Lens) and words[1:] and part.setting(words[1]) else {}
    chosen = {name: element[name] for name in USE_OF_LENS if name in element}
    length = {LENGTH: element[LENGTH]} if part is not None and part in kit.bellows else {}
    return {"element": "kit-part", "use": words[0] if words else "", **setting, **chosen, **length}


def expand_by_kit(document: Members, kit: Kit) -> Members:
    """The document with every part of the kit described in full; nothing where the kit has no such part."""
    try:
        sent = cast("requests.FrameSetUp", document)
        return cast("Members", expand(sent, kit, estimating=bool(document.get(ESTIMATE_UNKNOWN))))
    except (KitRefuses, KeyError, TypeError):
        return {}


def camera_of_kit(stated: object, kit: Kit) -> object:
    """Camera of the kit that is just what was stated; else what was stated."""
    for camera in kit.cameras:
        if plain_number(members_of(camera)) == plain_number(stated):
            return {"use": camera.id}
    return stated


def members_of(camera: Camera) -> Members:
    """What a search states of a camera of the kit."""
    known = {name: getattr(camera, name) for name in CAMERA_MEMBERS}
    return {name: value for name, value in known.items() if value is not None}
