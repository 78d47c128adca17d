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


@dataclass(frozen=True, kw_only=True)
class StepInput:
    """A number that is put into a formula: its symbol, what it stands for, its value in full, its unit."""

    symbol: str
    quantity: str
    value: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of a worked sum; `numbers` is None where words in `formula` say how the result is found.

    `numbers` is rounded so that a pocket calculator comes to its result; `result` and `inputs` are in full.
    """

    quantity: str
    symbol: str
    formula: str
    numbers: str | None
    result: float
    unit: str
    source: str
    inputs: tuple[StepInput, ...]


@dataclass(frozen=True, kw_only=True)
class WorkedAnswer(Answer):
    """An answer that tells its steps where `show_steps` was asked for; else there are none."""

    steps: tuple[Step, ...] = ()
