"""The JSON that goes out and comes back, and what a refusal says."""

import json
import math
from collections.abc import Mapping
from numbers import Real
from typing import Any, Final, NamedTuple, NoReturn

from closeup_client.errors import AnswerNotUnderstood, FieldFault, ServiceRefused

JSON: Final = "application/json"
SVG: Final = "image/svg+xml"
HTML: Final = "text/html"
_SHOWN = 80


class Reply(NamedTuple):
    """What was answered, by whichever way."""

    url: str
    status: int
    media_type: str
    body: bytes
    reason: str = "Refused"
    """What the status means, for an answer that does not say."""
    location: str | None = None
    """Where the answer sends on to, if it does."""

    @property
    def kind(self) -> str:
        """Media type in words."""
        return self.media_type or "no media type"


def body_of(members: Mapping[str, Any]) -> bytes:
    """JSON of a request.

    Raises
    ------
    ValueError
        Where a number is NaN or infinite; it is named before anything is sent.
    """
    try:
        return json.dumps(members, allow_nan=False, default=_plain_number).encode()
    except ValueError as error:
        raise ValueError(f"Every number must be finite; these are not: {', '.join(_not_finite(members))}.") from error


def write_form_fields(members: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Members of a form, each written as in JSON but for texts; raises what `body_of` does."""
    plain = json.loads(body_of(members))
    return [(name, value if isinstance(value, str) else json.dumps(value)) for name, value in plain.items()]


def check_reply(reply: Reply) -> Reply:
    """Return an answer that is a success.

    Raises
    ------
    ServiceRefused
        Where it is none.
    """
    if not 200 <= reply.status < 300:
        raise refusal_of(reply)
    return reply


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


def json_of(reply: Reply) -> Any:
    """JSON value of an answer.

    Raises
    ------
    AnswerNotUnderstood
        Where it is not strict JSON.
    """
    try:
        return json.loads(reply.body, parse_constant=refuse_constant)
    except (ValueError, RecursionError) as error:
        text = reply.body[:_SHOWN].decode("utf-8", "replace")
        raise AnswerNotUnderstood(
            f"{reply.url} answered with {reply.kind} and not JSON, beginning {text!r}."
        ) from error


def content_of(reply: Reply, media_type: str) -> bytes:
    """Content of an answer.

    Raises
    ------
    AnswerNotUnderstood
        Where it is not of the media type.
    """
    if reply.kind.partition(";")[0].strip().lower() != media_type:
        raise AnswerNotUnderstood(f"{reply.url} answered with {reply.kind} and not {media_type}.")
    return reply.body


def refuse_constant(name: str) -> NoReturn:
    """Refuse what JSON does not know, such as NaN."""
    raise ValueError(f"{name} is not JSON")


def refusal_of(reply: Reply) -> ServiceRefused:
    """Error for an answer that is not a success, whether the service's own problem details or a proxy's page."""
    try:
        told = json_of(reply)
    except AnswerNotUnderstood:
        told = None
    problem = told if isinstance(told, dict) else {}
    return ServiceRefused(
        reply.status,
        _text(problem, "title") or reply.reason,
        _text(problem, "detail") or _detail_without_problem(reply),
        _text(problem, "type") or "about:blank",
        _text(problem, "code"),
        _faults(problem.get("errors")),
        _text(problem, "request_id"),
    )


def _text(problem: Mapping[str, Any], name: str) -> str | None:
    value = problem.get(name)
    return value if isinstance(value, str) else None


def _detail_without_problem(reply: Reply) -> str:
    if reply.location is not None:
        return f"It sends us on to {reply.location}: give the address that it stands for as base_url."
    return f"{reply.url} gave no reasons; perhaps a proxy before the service answered."


def _faults(errors: Any) -> tuple[FieldFault, ...]:
    entries = [entry for entry in errors if isinstance(entry, dict)] if isinstance(errors, list) else []
    return tuple(FieldFault(_text(entry, "pointer") or "", _text(entry, "detail") or "") for entry in entries)
