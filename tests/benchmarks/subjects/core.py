"""The sums alone: one point by the core's formulas against plain floats, and columns of them.

`evaluate` does more than the closed formulas: it multiplies ray matrices of any train, finds the governing stop, and tells
what is missing.
"""

from typing import TYPE_CHECKING, cast

import numpy as np

from closeup_service.operations.set_up.optimum_aperture import operation as optimum_aperture
from closeup_service.operations.set_up.optimum_aperture.schemas import OptimumApertureRequest
from closeup_service.operations.set_up.table.columns import with_numpy_numbers
from closeup_service.operations.set_up.table.schemas import TableRequest
from closeup_service.optics.arithmetic import Columns
from closeup_service.optics.wave import defocused_otf
from closeup_service.schemas.fields import load
from closeup_service.set_ups.set_up import evaluate
from plain_sums import DOCUMENT, FIELDS, POINT_MEMBERS, agree, by_formulas, fourteen, table_document
from rows import Effort, Row, alone, cpu, in_turns
from subjects.tables import drawn

if TYPE_CHECKING:
    from closeup_service.records import requests

ROWS = 10_000


def rows(effort: Effort) -> list[Row]:
    """One point, and columns."""
    agree(by_formulas(**POINT_MEMBERS), fourteen(**POINT_MEMBERS))
    calls = effort.calls(5000)
    plain = cpu(lambda: fourteen(**POINT_MEMBERS), calls)
    formulas = cpu(lambda: by_formulas(**POINT_MEMBERS), calls)
    point = cpu(lambda: evaluate(DOCUMENT), effort.calls(500))
    return [
        in_turns("one point by the closed formulas, 14 figures", formulas, "plain floats", plain, effort, goal=1.1),
        in_turns("one point by evaluate, any train", point, "plain floats", plain, effort),
        formulas_per_second(effort),
        *waves(effort),
    ]


def formulas_per_second(effort: Effort) -> Row:
    """Figures that the core works out in a second by columns of 10,000 rows."""
    loaded = load(TableRequest(), table_document(*drawn(ROWS)))
    document = with_numpy_numbers(cast("requests.TableRequest", loaded)["document"])

    def core() -> object:
        with np.errstate(all="ignore"):
            return evaluate(document, Columns(ROWS))

    measured = cpu(core, effort.calls(10))
    return alone("figures by columns of 10,000 rows", lambda: ROWS * len(FIELDS) / measured(), effort, unit="per s")


def waves(effort: Effort) -> list[Row]:
    """The sums of waves, which take longest."""
    frequency, defocus = np.linspace(0, 1, 100)[:, None], np.linspace(0, 10, 100)
    asked = cast(
        "requests.OptimumApertureRequest",
        load(OptimumApertureRequest(), optimum_aperture.OPERATION.examples[0].request),
    )
    surface = cpu(lambda: defocused_otf(frequency, defocus), effort.calls(20))
    best = cpu(lambda: optimum_aperture.answer(asked), effort.calls(50))
    return [
        alone("contrast surface of 100 x 100 points", surface, effort),
        alone("one optimum-aperture answer", best, effort),
    ]
