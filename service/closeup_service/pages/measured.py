"""How much one core answers, as `python tests/benchmarks/sizing.py` measured it."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Load:
    """One kind of request: how many a core answers in a second, and half of them within how many milliseconds."""

    what: str
    per_second: str
    milliseconds: str


@dataclass(frozen=True, slots=True)
class Measured:
    """Loads and memory, and what they were measured on."""

    machine: str
    loads: Sequence[Load]
    first_worker_mb: int
    further_worker_mb: int


MEASURED = Measured("", (), 0, 0)
