"""What every answer carries.

Records have no slots: a list of members that an answer shares with a part of another one is a base of both, which slots
forbid.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, kw_only=True)
class Remark:
    """Something worth knowing about an answer: a stable code, and plain words."""

    code: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Caution(Remark):
    """A usual caution, and whom it concerns: `people`, `animals` or `gear`."""

    concerns: str


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What every answer carries: `assumed` gives the value used for each datum that was not given."""

    assumed: Mapping[str, Any] = field(hash=False)
    remarks: tuple[Remark, ...]
    cautions: tuple[Caution, ...]
    raw: Mapping[str, Any] = field(repr=False, compare=False)
