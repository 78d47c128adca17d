"""The JSON that goes out and comes back, and what a refusal says."""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from http.client import responses
from numbers import Real
from typing import Any, Final, NoReturn

import requests

from closeup_client.errors import AnswerNotUnderstood, FieldFault, ServiceRefused

JSON: Final = "application/json"
SVG: Final = "image/svg+xml"
HTML: Final = "text/html"
_SHOWN = 80


@dataclass(frozen=True, slots=True)
class Content:
    """Body of a request, and its media type."""

    data: bytes
    media_type: str


def body_of(members: Mapping[str, Any]) -> Content:
    """JSON of a request.

    Raises
    ------
    ValueError
        Where a number is NaN or infinite; it is named before anything is sent.
    """
    try:
        return Content(json.dumps(members, allow_nan=False, default=_plain_number).encode(), JSON)
    except ValueError as error:
        raise ValueError(f"Every number must be finite; these are not: {', '.join(_not_finite(members))}.") from error


def form_of(members: Mapping[str, Any], files: Sequence[tuple[str, bytes]]) -> Content:
    """Form of a request, a part for each file and each member, written as in JSON; raises what `body_of` does."""
    plain = json.loads(body_of(members).data)
    fields = {name: value if isinstance(value, str) else json.dumps(value) for name, value in plain.items()}
    parts = [
        (name, (f"{name}-{place}", file, "application/octet-stream")) for place, (name, file) in enumerate(files, 1)
    ]
    prepared = requests.Request("POST", "http://form.invalid", data=fields, files=parts).prepare()
    assert isinstance(prepared.body, bytes)
    return Content(prepared.body, prepared.headers["Content-Type"])


def _plain_number(value: Any) -> float:
    """Turn number types that JSON does not know, such as fractions and numpy's own, into plain numbers."""
    if isinstance(value, Real):
        return float(value)
    raise TypeError(f"{value!r} cannot be sent as JSON.")


def _not_finite(value: Any, pointer: str = "") -> list[str]:
    """Pointers of the numbers that are not finite."""
    if isinstance(value, Mapping):
        return [place for name, inner in value.items() for place in _not_finite(inner, f"{pointer}/{name}")]
    if isinstance(value, list | tuple):
        return [place for index, inner in enumerate(value) for place in _not_finite(inner, f"{pointer}/{index}")]
    return [pointer] if isinstance(value, Real) and not math.isfinite(value) else []


def json_of(response: requests.Response) -> Any:
    """JSON value of an answer.

    Raises
    ------
    AnswerNotUnderstood
        Where it is not strict JSON.
    """
    try:
        return json.loads(response.content, parse_constant=refuse_constant)
    except (ValueError, RecursionError) as error:
        kind = response.headers.get("Content-Type", "no media type")
        text = response.content[:_SHOWN].decode("utf-8", "replace")
        raise AnswerNotUnderstood(f"{response.url} answered with {kind} and not JSON, beginning {text!r}.") from error


def content_of(response: requests.Response, media_type: str) -> bytes:
    """Content of an answer.

    Raises
    ------
    AnswerNotUnderstood
        Where it is not of the media type.
    """
    kind = response.headers.get("Content-Type", "no media type")
    if kind.partition(";")[0].strip().lower() != media_type:
        raise AnswerNotUnderstood(f"{response.url} answered with {kind} and not {media_type}.")
    return response.content


def refuse_constant(name: str) -> NoReturn:
    """Refuse what JSON does not know, such as NaN."""
    raise ValueError(f"{name} is not JSON")


def refusal_of(response: requests.Response) -> ServiceRefused:
    """Error for an answer that is not a success, whether the service's own problem details or a proxy's page."""
    try:
        told = json_of(response)
    except AnswerNotUnderstood:
        told = None
    problem = told if isinstance(told, dict) else {}
    return ServiceRefused(
        response.status_code,
        _text(problem, "title") or responses.get(response.status_code, "Refused"),
        _text(problem, "detail") or _detail_without_problem(response),
        _text(problem, "type") or "about:blank",
        _text(problem, "code"),
        _faults(problem.get("errors")),
    )


def _text(problem: Mapping[str, Any], name: str) -> str | None:
    value = problem.get(name)
    return value if isinstance(value, str) else None


def _detail_without_problem(response: requests.Response) -> str:
    if response.is_redirect:
        return f"It sends us on to {response.headers['Location']}: give the address that it stands for as base_url."
    return f"{response.url} gave no reasons; perhaps a proxy before the service answered."


def _faults(errors: Any) -> tuple[FieldFault, ...]:
    entries = [entry for entry in errors if isinstance(entry, dict)] if isinstance(errors, list) else []
    return tuple(FieldFault(_text(entry, "pointer") or "", _text(entry, "detail") or "") for entry in entries)
