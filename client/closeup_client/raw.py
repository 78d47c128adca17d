"""What some records do beyond holding what was answered: they keep the object that they were read from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeAlias, cast

from closeup_client import showing

if TYPE_CHECKING:
    from closeup_client.records.shared_requests import Lens

    Told: TypeAlias = float
else:
    Told = float | None
"""A figure that is None only where `estimate_unknown` was asked for and its range says too little.

Type checkers take it for a number, as release 1.0.0 promised it.
"""


@dataclass(frozen=True, kw_only=True)
class Raw:
    """A record with the object that it was read from, also with members that this client does not know."""

    raw: Mapping[str, Any] = field(repr=False, compare=False)

    def _repr_html_(self) -> str:
        """Return members with their values as a table, for notebooks."""
        return showing.write_html(self)


@dataclass(frozen=True, kw_only=True, repr=False)
class RawAnswer(Raw):
    """An answer, which shows itself in lines."""

    def __repr__(self) -> str:
        """Members with their values and ranges, at most a screen of them."""
        return showing.write_text(self)


@dataclass(frozen=True, kw_only=True)
class RawLens(Raw):
    """A lens that can be put into a train as it was answered."""

    @property
    def part(self) -> "Lens":
        """Part of a train, ready for `evaluate`."""
        return cast("Lens", dict(self.raw))
