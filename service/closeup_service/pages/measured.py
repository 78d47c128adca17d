"""How much one core answers and how its time grows, as `python tests/benchmarks/sizing.py` measured it."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from closeup_service.language import mark


class Load(Struct, frozen=True):
    """One kind of request: how many a core answers in a second, and half of them within how many milliseconds."""

    what: str
    per_second: float
    milliseconds: float


class Growth(Struct, frozen=True):
    """One kind of question: milliseconds of a core by its size."""

    what: str
    milliseconds: Mapping[int, float]


class Measured(Struct, frozen=True):
    """Loads, growth and memory, and what they were measured on."""

    machine: str
    loads: Sequence[Load]
    growth: Sequence[Growth]
    first_worker_mb: int
    further_worker_mb: int


MEASURED = Measured(
    mark("CPython 3.11 on a virtual machine of x86-64, November 2026"),
    (
        Load("GET effective-f-number", 1700, 0.7),
        Load("POST set-ups/evaluate", 890, 1.2),
        Load(mark("table of 10\u202f000 rows, 3 fields"), 300, 3.7),
        Load(mark("search of the demo kit"), 54, 18),
        Load(mark("photograph of 3 megapixels"), 4, 230),
    ),
    (
        Growth(mark("table of 14 figures in each row, rows"), {1: 0.8, 100: 0.9, 1000: 1.5, 10_000: 5.1}),
        Growth(mark("search of a kit, arrangements"), {5472: 32, 68_508: 120, 678_600: 260, 4_367_220: 580}),
    ),
    first_worker_mb=63,
    further_worker_mb=10,
)
