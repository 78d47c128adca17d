"""What a request asks, before any schema: from the query or from the body, with the same names."""

import re
from collections.abc import Mapping
from urllib.parse import unquote_to_bytes

from flask import Request, abort
from gunicorn.http.errors import ParseException
from marshmallow import Schema, ValidationError, fields
from werkzeug.exceptions import BadRequest

from closeup_service.http.negotiation import readable
from closeup_service.http.uploads import from_parts
from closeup_service.language import tr
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.limits import Limits
from closeup_service.operations.asking.typed_values import typed
from closeup_service.operations.operation import Operation
from closeup_service.schemas.fields import holds_objects, unknown_member

BROKEN_ESCAPE = re.compile(rb"%(?![0-9A-Fa-f]{2})")


def asked(request: Request, operation: Operation, limits: Limits) -> Mapping[str, object]:
    """Return the members that the request gives, as plain JSON values; photographs as uploads."""
    if request.method == "POST" and request.query_string:
        single_values(request, frozenset())
    if operation.takes_photographs and operation.request_schema is not None:
        return from_parts(request, operation.request_schema, limits)
    if request.method == "POST":
        return from_body(request, operation.most_content_bytes)
    if operation.by_query == "document":
        return from_document(request)
    return from_query(request, operation.request_schema)


def from_body(request: Request, most_bytes: int) -> Mapping[str, object]:
    """JSON object of the body."""
    request.max_content_length = most_bytes
    if not readable(request) or request.environ.get("HTTP_CONTENT_ENCODING", "identity").lower() != "identity":
        abort(415)
    try:
        body = request.get_data(cache=False)
    except ParseException:
        raise BadRequest from None
    if request.content_length is None and len(body) >= most_bytes:
        abort(413)  # a chunked body is cut at the limit without a word
    return strict_json.an_object(strict_json.loads(body))


def from_document(request: Request) -> Mapping[str, object]:
    """JSON object of the query parameter `document`."""
    values = single_values(request, frozenset({"document"}))
    if "document" not in values:
        raise ValidationError({"document": [tr("This parameter is required: the set-up as URL-encoded JSON.")]})
    return strict_json.an_object(strict_json.loads(values["document"].encode("utf-8", "surrogatepass")))


def from_query(request: Request, schema: Schema | None) -> Mapping[str, object]:
    """One member per query parameter; numbers by the JSON grammar, what fits no type stays text for the schema."""
    if schema is None:
        return single_values(request, frozenset())
    lists = frozenset(name for name, field in schema.fields.items() if isinstance(field, fields.List))
    values = single_values(request, lists=lists)
    nested = [name for name in values if holds_objects(schema.fields.get(name))]
    if nested:
        raise ValidationError({name: [tr("A query cannot hold this: send the request by POST.")] for name in nested})
    return {name: typed(value, schema.fields.get(name)) for name, value in values.items()}


def single_values(
    request: Request, closed_to: frozenset[str] | None = None, lists: frozenset[str] = frozenset()
) -> dict[str, str]:
    """Query parameters, each given once; unless the list is closed, an unknown one is left for the schema to name.

    Those of `lists` may be repeated: their values are joined by commas, which is the other form of a list.
    """
    refuse_bad_encoding(request)
    if any(len(name) > strict_json.MOST_NAME_LENGTH for name in request.args):
        raise strict_json.NotStrictJson(
            tr(
                "A parameter name of more than {most_name_length} characters.",
                most_name_length=strict_json.MOST_NAME_LENGTH,
            )
        )
    repeated = {name: values for name, values in request.args.lists() if len(values) > 1}
    faults = {name: [tr("Give this parameter once.")] for name in repeated if name not in lists}
    if closed_to is not None:
        faults |= {name: [unknown_member(name, sorted(closed_to))] for name in request.args if name not in closed_to}
    if faults:
        raise ValidationError(faults)
    return request.args.to_dict() | {name: ",".join(values) for name, values in repeated.items()}


def refuse_bad_encoding(request: Request) -> None:
    """Refuse a query whose percent-encoding is broken or does not hold UTF-8."""
    query = request.query_string
    if b"%" not in query:
        return
    try:
        unquote_to_bytes(query).decode("utf-8")
    except UnicodeDecodeError:
        raise strict_json.NotStrictJson(tr("The query must be percent-encoded UTF-8.")) from None
    if BROKEN_ESCAPE.search(query):
        raise strict_json.NotStrictJson(tr("The query holds a percent sign that starts no escape."))
