"""The service below a prefix, such as `/closeup` on a club's site: own addresses that leave it begin with where it stands.

The place is `SCRIPT_NAME` (PEP 3333), whoever fills it: the layer here, or an application that holds this one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import Flask, request
from werkzeug.routing import Map
from werkzeug.wrappers import Response

from closeup_service.http.languages import SEGMENT, segment_of
from closeup_service.operations.asking.media_types import HTML
from closeup_service.running.observing import Environ, Wsgi
from closeup_service.running.settings import FORMS, BadSettings, option

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse

TAG = re.compile(rb"<[a-zA-Z][^<>]*>")
"""A tag: what people type never makes one, since every `<` of it is escaped."""
OWN_ADDRESS = re.compile(
    rb'(\s(?:href|src|srcset|action|formaction|content|xlink:href)=")(?=/(?!/)((?:en|de|pages)/)?)'
)
"""Where an address of this service begins in a tag, and whether it is one for all languages, or in a stated one.

What people type never ends an attribute, since quotes are escaped.
"""
PROBLEM = re.compile(rb'(?<=")\^?(?=/problems/)')
"""Where the address of a problem begins in JSON, or the pattern of such addresses."""
SERVER = b'"url":"/"'
"""The service's own address in the document, where nobody has set another."""


def register(app: Flask, prefix: str) -> None:
    """Let the service stand below a prefix; `/` is none.

    Raises
    ------
    BadSettings
        Where pages of the service itself lie below the same address.
    """
    app.after_request(place_response)
    root = prefix.rstrip("/")
    if not root:
        return
    if is_taken(root, app.url_map):
        raise BadSettings([f"{option('prefix')}={prefix!r}: the service has pages there; give {FORMS['prefix']}."])
    app.wsgi_app = mount(app.wsgi_app, root)  # type: ignore[method-assign, assignment]


def is_taken(root: str, known: Map) -> bool:
    """Whether the service has an address that is this one, or begins with it; addresses in a language are its own too."""
    return bool(segment_of(root)) or any(f"{rule.rule}/".startswith(f"{root}/") for rule in known.iter_rules())


def mount(inner: Wsgi, root: str) -> Wsgi:
    """Application that stands at a root, whether the proxy before it passes the root on or takes it away."""

    def answer(environ: Environ, start_response: StartResponse) -> Iterable[bytes]:
        path = environ["PATH_INFO"]
        environ["SCRIPT_NAME"] = root
        if f"{path}/".startswith(f"{root}/"):
            environ["PATH_INFO"] = path[len(root) :] or "/"
        return inner(environ, start_response)

    return answer


def place_response(response: Response) -> Response:
    """Write where the service stands before own addresses of a redirect, and of a page that `delivery.deliver` did not send."""
    root = request.script_root
    if not root:
        return response
    if response.location is not None and is_own(response.location):
        response.location = root + response.location
    if response.mimetype == HTML and "ETag" not in response.headers:
        response.set_data(place_page(response.get_data(), root, request.environ.get(SEGMENT, "")))
    return response


def is_own(address: str) -> bool:
    """Whether an address is one of this service, written from its root."""
    return address.startswith("/") and not address.startswith("//")


def place_page(page: bytes, root: str, language: str = "") -> bytes:
    """Write a root before every own address in the tags of a page; the language that it ends with only where it belongs."""
    if not root:
        return page
    here = root.encode()
    outside = here.removesuffix(f"/{language}".encode()) if language else here
    return TAG.sub(lambda tag: OWN_ADDRESS.sub(lambda at: at[1] + (outside if at[2] else here), tag[0]), page)


def place_document(document: bytes, root: str) -> bytes:
    """Write a root into the published document: as its server, and before the addresses of problems and in their pattern."""
    if not root:
        return document
    served = document.replace(SERVER, SERVER.replace(b"/", root.encode()))
    return PROBLEM.sub(lambda begun: begun[0] + root.encode(), served)
