"""Templates in the language that is spoken, and the way to the same page in another.

In templates, `{% trans %}` and `tr("…")` hold texts, and `tr(…)` says those of records; `pages/tasks` and others mark theirs.
"""

from collections.abc import Callable

from flask import Flask, request
from msgspec import Struct

from closeup_service.language import ENGLISH, GERMAN, LANGUAGES, spoken, tr, tr_each

NAMES = {ENGLISH: "English", GERMAN: "Deutsch"}
"""Languages in their own words."""


class Translation(Struct, frozen=True):
    """The page that is shown, in a language: its address with what was typed, and the one to be found by."""

    language: str
    name: str
    address: str
    found_at: str


def register(app: Flask, is_translated: Callable[[str], bool], server_url: str) -> None:
    """Let templates speak, and lead to the translations of a page that has some by its path.

    Search engines are told of them only where the operator states the address of the service: they take whole addresses alone.
    """
    outside = server_url.rstrip("/")
    app.jinja_env.add_extension("jinja2.ext.i18n")
    app.jinja_env.policies["ext.i18n.trimmed"] = True  # as texts are gathered
    app.jinja_env.install_gettext_callables(tr, tr_each, newstyle=True)  # type: ignore[attr-defined]
    app.jinja_env.globals |= {
        "tr": tr,
        "tr_each": tr_each,
        "spoken": spoken,
        "translations": lambda: translations(outside) if is_translated(request.path) else [],
    }


def translations(outside: str) -> list[Translation]:
    """The page that is shown in each language; `outside` is the address of the service, where it is known."""
    query = f"?{request.query_string.decode('ascii', 'replace')}" if request.query_string else ""
    addresses = {each: f"/{each}{request.path}" for each in LANGUAGES}
    return [
        Translation(each, NAMES[each], address + query, outside and outside + address)
        for each, address in addresses.items()
    ]
