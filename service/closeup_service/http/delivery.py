"""Sending a body that may be kept: entity tag, compression, conditional requests."""

import gzip
from collections.abc import Sequence
from hashlib import blake2b

from flask import Flask, Request, request
from werkzeug.wrappers import Response

from closeup_service.http.languages import SEGMENT
from closeup_service.http.prefix import place_page
from closeup_service.http.problems import problem, told_to_people
from closeup_service.operations.asking.media_types import HTML, JSON, PNG
from closeup_service.operations.asking.refusals import refuse_as_usual

LEAST_COMPRESSED_BYTES = 1024
COMPRESSION_LEVEL = 6
LIFETIME_S = 3600
CONDITIONAL = frozenset({200, 304, 412})
"""Statuses of an answer that there is; 412 is what the library makes of it itself, without a word."""
PAGES = frozenset({HTML, "text/css", "text/javascript", JSON})
"""What pages, and calculators on foreign ones, are made of."""
COMPRESSED_ALREADY = frozenset({PNG})


def deliver(request: Request, body: bytes, content_type: str, vary: Sequence[str] = ()) -> Response:
    """Answer a GET or HEAD with a body that any cache may keep; 304 when the client has it already.

    `vary` names the headers of the request that chose this body.
    """
    if content_type.startswith(HTML):
        body = place_page(body, request.script_root, request.environ.get(SEGMENT, ""))
    compressible = len(body) >= LEAST_COMPRESSED_BYTES and content_type not in COMPRESSED_ALREADY
    compressed = compressible and wants_gzip(request)
    tag = blake2b(body, digest_size=12).hexdigest()
    response = Response(gzip_of(body) if compressed else body, content_type=content_type)
    varied = [*vary, *(["Accept-Encoding"] if compressible else [])]
    if varied:
        response.headers["Vary"] = ", ".join(varied)
    if compressed:
        response.headers["Content-Encoding"] = "gzip"
    response.headers["Cache-Control"] = f"public, max-age={LIFETIME_S}"
    response.headers["ETag"] = f'"{tag}-gzip"' if compressed else f'"{tag}"'
    return response.make_conditional(request) if request.if_none_match else response


def wants_gzip(request: Request) -> bool:
    """Whether the client takes gzip; a quality of 0 refuses it."""
    return "HTTP_ACCEPT_ENCODING" in request.environ and request.accept_encodings.quality("gzip") > 0


def gzip_of(body: bytes) -> bytes:
    """Compress, the same bytes every time."""
    return gzip.compress(body, COMPRESSION_LEVEL, mtime=0)


def register(app: Flask) -> None:
    """Send every page and what belongs to it with an entity tag, compressed where the client takes that.

    Pages are what the blueprints answer, so they are registered before. Of anything, only what If-Match names is sent.
    """
    app.after_request(refuse_unmatched)
    for name in app.blueprints:
        app.after_request_funcs.setdefault(name, []).append(deliver_page)


def refuse_unmatched(response: Response) -> Response:
    """Refuse to send anything but what If-Match names (RFC 9110, 13.1.1); an answer without an entity tag has no name."""
    if "HTTP_IF_MATCH" not in request.environ or request.method == "OPTIONS" or response.status_code not in CONDITIONAL:
        return response
    wanted, (tag, _) = request.if_match, response.get_etag()
    if wanted.star_tag or (tag is not None and wanted.is_strong(tag)):
        return response
    return told_to_people(problem(refuse_as_usual("precondition-failed")))


def deliver_page(response: Response) -> Response:
    """Deliver a page that was asked for and found, or that a form was posted for."""
    if response.status_code != 200 or response.mimetype not in PAGES or "ETag" in response.headers:
        return response
    if request.method == "POST":
        return compress(response)
    if request.method not in ("GET", "HEAD"):
        return response
    delivered = deliver(request, response.get_data(), response.headers["Content-Type"])
    own = {name: value for name, value in response.headers if name not in ("Content-Type", "Content-Length")}
    delivered.headers.update(own)
    return delivered


def compress(response: Response) -> Response:
    """Compress the answer to a form, which nothing keeps, where the client takes that."""
    body = response.get_data()
    if len(body) >= LEAST_COMPRESSED_BYTES:
        response.headers["Vary"] = "Accept-Encoding"
        if wants_gzip(request):
            response.set_data(gzip_of(body))
            response.headers["Content-Encoding"] = "gzip"
    return response
