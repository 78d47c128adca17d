"""What is refused, as the members of RFC 9457 problem details. This module alone knows which error is which problem."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from marshmallow import ValidationError
from msgspec import Struct

from closeup_service.gear.errors import KitRefuses
from closeup_service.language import tr, tr_each
from closeup_service.operations.asking.problem_types import PROBLEM_TYPES, ProblemType
from closeup_service.operations.asking.strict_json import NotStrictJson
from closeup_service.operations.asking.turns import RETRY_AFTER_S, Busy
from closeup_service.operations.photographs.refused import PhotographRefused
from closeup_service.optics.errors import OpticsError
from closeup_service.schemas.items import MOST_FAULTS
from closeup_service.set_ups.pointers import as_pointer

ADDRESS = "/problems/"
MOST_DETAIL = 2000

_BY_OPTICS_CODE = {
    "undetermined": "undetermined",
    "no-solution": "no-solution",
    "no-scale-found": "no-sure-reading",
    "too-few-marks": "no-sure-reading",
    "plain-marks": "no-sure-reading",
    "pitch-contradicted": "no-sure-reading",
    "blocks-or-lines": "no-sure-reading",
    "two-scales": "no-sure-reading",
    "too-blurred": "no-sure-reading",
    "frames-differ": "frames-differ",
}


class Fault(NamedTuple):
    """One fault: where it is, as a JSON pointer (RFC 6901), and what would be right."""

    pointer: str
    detail: str


class NotMultipart(ValueError):
    """A body that is not the multipart form that it is declared as."""


class ContentTooLarge(ValueError):
    """More bytes than a request may have."""


class Refusal(Struct, frozen=True):
    """One problem: its kind, what happened and what would mend it, and each fault by JSON pointer."""

    slug: str
    detail: str
    faults: Sequence[Fault] = ()
    code: str | None = None
    retry_after_s: int | None = None

    @property
    def kind(self) -> ProblemType:
        """Kind of the problem."""
        return PROBLEM_TYPES[self.slug]

    @property
    def status(self) -> int:
        """Status of HTTP that stands for it."""
        return self.kind.status

    def members(self, root: str = "") -> dict[str, object]:
        """Members of the problem details, of a service that stands at a root."""
        told: dict[str, object] = {
            "type": f"{root}{ADDRESS}{self.slug}",
            "title": tr(self.kind.title),
            "status": self.status,
            "detail": self.detail[:MOST_DETAIL],
            "errors": [fault._asdict() for fault in self.faults[:MOST_FAULTS]],
        }
        return told if self.code is None else told | {"code": self.code}


def refusal_of(error: Exception) -> Refusal | None:
    """Return what an error refuses; None for one that was not foreseen."""
    return next((refuse(error) for kind, refuse in _KINDS.items() if isinstance(error, kind)), None)


def faults(messages: object, pointer: str = "") -> Iterator[Fault]:
    """Flatten marshmallow's nested messages into JSON pointers (RFC 6901) with details."""
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            step = "" if name == "_schema" else "/" + str(name).replace("~", "~0").replace("/", "~1")
            yield from faults(inner, pointer + step)
    elif isinstance(messages, list):
        for message in messages:
            yield from faults(message, pointer)
    else:
        yield Fault(pointer, tr(messages) if isinstance(messages, str) else str(messages))


def refuse_as_usual(slug: str) -> Refusal:
    """Refuse with what is right for every problem of a kind."""
    return Refusal(slug, tr(PROBLEM_TYPES[slug].remedy))


def not_valid(error: ValidationError) -> Refusal:
    """Every fault of every field, at once."""
    return invalid_fields(list(faults(error.messages)))


def invalid_fields(found: list[Fault]) -> Refusal:
    """Count the fields at fault, and name each."""
    if len(found) < MOST_FAULTS:
        text = tr_each("One field is not valid.", "{number} fields are not valid.", len(found), number=len(found))
    else:
        text = tr("{number} fields or more are not valid: the first {number} are listed.", number=MOST_FAULTS)
    return Refusal("invalid-fields", text, found)


def not_of_the_kit(error: KitRefuses) -> Refusal:
    """Members that do not fit the kit."""
    return invalid_fields([Fault(*fault) for fault in error.faults])


def not_possible(error: OpticsError) -> Refusal:
    """What the physics refuses."""
    found = [Fault(as_pointer(member), str(error)) for member in error.members]
    return Refusal(_BY_OPTICS_CODE.get(error.code, "impossible"), str(error), found, error.code)


def photograph_refused(error: PhotographRefused) -> Refusal:
    """Photographs that are not taken."""
    found = [Fault(member, str(error)) for member in error.members]
    return Refusal(error.slug, str(error), found, error.code)


_KINDS: Mapping[type[Exception], Callable[[Any], Refusal]] = {
    NotStrictJson: lambda error: Refusal("not-json", str(error)),
    ContentTooLarge: lambda _: refuse_as_usual("content-too-large"),
    NotMultipart: lambda error: Refusal("not-multipart", str(error)),
    ValidationError: not_valid,
    KitRefuses: not_of_the_kit,
    OpticsError: not_possible,
    PhotographRefused: photograph_refused,
    Busy: lambda error: Refusal("busy", str(error), retry_after_s=RETRY_AFTER_S),
}
FORESEEN = tuple(_KINDS)
"""Errors that are refusals."""
