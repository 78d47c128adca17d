"""The language of texts for people: English as written in the code, or German by the catalogue `de.po`."""

from closeup_service.language.speaking import (
    ENGLISH,
    GERMAN,
    LANGUAGES,
    later,
    mark,
    speaking,
    spoken,
    tr,
    tr_each,
    tr_worded,
    with_decimal_sign,
)

__all__ = [
    "ENGLISH",
    "GERMAN",
    "LANGUAGES",
    "later",
    "mark",
    "speaking",
    "spoken",
    "tr",
    "tr_each",
    "tr_worded",
    "with_decimal_sign",
]
