"""The obvious alternative: the same sums in an asynchronous framework, its models checking and writing every number.

`/effective-f-number` is one sum; `/columns` and `/rows` are tables of fourteen figures worked out row by row in plain floats,
asked and answered by columns, and as a list of objects.
"""

from math import log2
from typing import Annotated, Literal

from fastapi import FastAPI
from pydantic import BaseModel, ConfigDict, Field

from plain_sums import POINT_MEMBERS, fourteen

app = FastAPI(openapi_url=None)
Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
CONSTANT = {name: value for name, value in POINT_MEMBERS.items() if name not in ("n", "tube")}


class Asked(BaseModel):
    """Members of one sum."""

    model_config = ConfigDict(extra="forbid")
    f_number: Positive
    magnification: Positive
    pupil_magnification: Positive = 1.0
    mounting: Literal["normal", "reversed"] = "normal"


class Told(BaseModel):
    """Answer of one sum."""

    effective_f_number: float
    light_loss_stops: float
    exposure_factor: float
    numerical_aperture: float


class Row(BaseModel):
    """What varies from row to row."""

    f_number: Positive
    length_mm: Positive


class Figures(BaseModel):
    """Figures of one row."""

    magnification: float
    subject_width_mm: float
    subject_height_mm: float
    working_distance_mm: float
    clearance_mm: float
    subject_to_sensor_mm: float
    rig_length_mm: float
    effective_f_number: float
    numerical_aperture: float
    light_loss_stops: float
    front_depth_mm: float
    rear_depth_mm: float
    total_mm: float
    subject_resolution_um: float


class RowsAsked(BaseModel):
    """A table as a list of rows."""

    rows: list[Row]


class RowsTold(BaseModel):
    """Its answer."""

    rows: list[Figures]


class ColumnsAsked(BaseModel):
    """A table by columns."""

    f_number: list[Positive]
    length_mm: list[Positive]


class ColumnsTold(BaseModel):
    """Its answer."""

    columns: dict[str, list[float]]


NAMES = tuple(Figures.model_fields)


async def get_effective_f_number(
    f_number: Positive, magnification: Positive, pupil_magnification: Positive = 1.0
) -> Told:
    """One sum by GET."""
    return effective(Asked(f_number=f_number, magnification=magnification, pupil_magnification=pupil_magnification))


async def post_effective_f_number(asked: Asked) -> Told:
    """One sum by POST."""
    return effective(asked)


def effective(asked: Asked) -> Told:
    """Effective f-number and the light it costs."""
    p, m, n = asked.pupil_magnification, asked.magnification, asked.f_number
    found = n * (m + 1 / p) if asked.mounting == "reversed" else n * (1 + m / p)
    return Told(
        effective_f_number=found,
        light_loss_stops=2 * log2(found / n),
        exposure_factor=(found / n) ** 2,
        numerical_aperture=m / (2 * found),
    )


async def by_rows(asked: RowsAsked) -> RowsTold:
    """Table as a list of rows."""
    found = (fourteen(row.f_number, row.length_mm, **CONSTANT) for row in asked.rows)
    return RowsTold(rows=[Figures(**dict(zip(NAMES, each, strict=True))) for each in found])


async def by_columns(asked: ColumnsAsked) -> ColumnsTold:
    """Table by columns, worked out row by row."""
    found = [fourteen(n, tube, **CONSTANT) for n, tube in zip(asked.f_number, asked.length_mm, strict=True)]
    return ColumnsTold(columns={name: list(each) for name, each in zip(NAMES, zip(*found, strict=True), strict=True)})


app.add_api_route("/effective-f-number", get_effective_f_number, methods=["GET"])
app.add_api_route("/effective-f-number", post_effective_f_number, methods=["POST"])
app.add_api_route("/rows", by_rows, methods=["POST"])
app.add_api_route("/columns", by_columns, methods=["POST"])
