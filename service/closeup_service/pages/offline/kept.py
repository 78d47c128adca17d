"""What the service worker keeps in a browser: which addresses, how many results, and what it says of them."""

from collections.abc import Iterator, Mapping
from hashlib import blake2b
from html import escape
from importlib.metadata import version

from flask import Flask
from msgspec import Struct
from werkzeug.routing import Rule

from closeup_service.language import LANGUAGES, mark, speaking, tr
from closeup_service.operations.asking import strict_json
from closeup_service.pages.pages import STATIC, read_static

WORKER = "service-worker.js"
NOT_FOR_THE_TABLE = frozenset(
    {"/docs", "/problems", "/growth", "/running", "/put-it-on-your-site", "/favicon.ico", f"/{WORKER}"}
)
"""Addresses that lead elsewhere, or that nobody wants at a table without a network."""
MOST_RESULTS, MOST_DRAWINGS = 24, 96
FILES = "/pages/"
"""What addresses begin with that have no language."""
OFFLINE = mark("You are offline. This page is from {time}, kept in your browser.")
SILENT = mark("The service does not answer. This page is from {time}, kept in your browser.")


class Notice(Struct, frozen=True):
    """What a kept page says of itself."""

    offline: str
    silent: str


class Kept(Struct, frozen=True):
    """What the worker is told: addresses, relative to the root of the service, and a notice in each language."""

    version: str
    addresses: list[str]
    most_results: int
    most_drawings: int
    notices: Mapping[str, Notice]


def describe_kept(app: Flask) -> Kept:
    """Everything that the worker needs to know of this service."""
    files = {f"pages/{name}" for name in STATIC if not name.endswith(".txt")}
    addresses = sorted({*kept_addresses(app), *files})
    notices = {language: notice_in(language) for language in LANGUAGES}
    return Kept(fingerprint(addresses), addresses, MOST_RESULTS, MOST_DRAWINGS, notices)


def notice_in(language: str) -> Notice:
    """Notice in a language; where it states the time, the worker does."""
    with speaking(language):
        return Notice(escape(tr(OFFLINE)), escape(tr(SILENT)))


def kept_addresses(app: Flask) -> Iterator[str]:
    """Every page and its like that has one address, of those that belong to the pages: a page in each language."""
    for rule in app.url_map.iter_rules():
        if not is_for_the_table(rule):
            continue
        if rule.rule.startswith(FILES):
            yield rule.rule.removeprefix("/")
        else:
            yield from (f"{language}{rule.rule}" for language in LANGUAGES)


def is_for_the_table(rule: Rule) -> bool:
    """Whether an address is that of a page which is wanted at the table."""
    belongs_to_pages = "." in rule.endpoint
    return (
        belongs_to_pages and not rule.arguments and "GET" in (rule.methods or ()) and rule.rule not in NOT_FOR_THE_TABLE
    )


def fingerprint(addresses: list[str]) -> str:
    """Name of this state of the pages: another one where a file, an address or the version of the service is another."""
    mark = blake2b(digest_size=8)
    for part in (
        version("closeup-optics").encode(),
        strict_json.dumps(addresses),
        *map(read_static, (*STATIC, WORKER)),
    ):
        mark.update(part)
    return mark.hexdigest()
