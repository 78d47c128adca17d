"""`uncertainty` of a lens in a train: standard uncertainties, and how they go together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from marshmallow import ValidationError, validate, validates_schema

from closeup_service.language import later, tr
from closeup_service.schemas.fields import Number, RequestSchema, Text
from closeup_service.schemas.items import Items
from closeup_service.set_ups.uncertainty import PARAMETERS

if TYPE_CHECKING:
    from closeup_service.records import requests

LARGEST = 1e12
MOST_DEGREES = 1e9
ROUNDING = 1e-6
"""Entries of a covariance may be rounded to so small a share of their uncertainties."""

LENGTH = validate.Length(1, len(PARAMETERS), error=later("Give 1 to {most} of them.", most=len(PARAMETERS)))


def entry() -> Number:
    """One entry of a covariance."""
    return Number(
        validate=validate.Range(
            -LARGEST,
            LARGEST,
            error=later("Give a number from {least:g} to {most:g}.", least=-LARGEST, most=LARGEST),
        ),
        metadata={"description": "Covariance of two parameters, in the units of both.", "format": "double"},
    )


class LensUncertaintySchema(RequestSchema):
    """What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them."""

    parameters = Items(
        Text(PARAMETERS, metadata={"description": "A member of this lens."}),
        required=True,
        validate=LENGTH,
        metadata={"description": "Members of this lens that are uncertain, each once."},
    )
    covariance = Items(
        Items(entry(), validate=LENGTH, metadata={"description": "One row."}),
        required=True,
        validate=LENGTH,
        metadata={
            "description": "Covariance of the parameters, row by row: squares of the standard uncertainties on the diagonal."
        },
    )

    degrees_of_freedom = Number(
        validate=validate.Range(
            1, MOST_DEGREES, error=later("Give a number from 1 to {most:g}, or leave it out.", most=MOST_DEGREES)
        ),
        metadata={
            "description": "Degrees of freedom of scatter_covariance, or of the whole covariance without that; left out where "
            "all uncertainties were stated beforehand. With few the 95 % intervals are wider than 1.96 standard uncertainties.",
            "format": "double",
        },
    )
    scatter_covariance = Items(
        Items(entry(), validate=LENGTH, metadata={"description": "One row."}),
        validate=LENGTH,
        metadata={
            "description": "Part of the covariance that was estimated from a scatter, row by row; assumed all of it where "
            "degrees_of_freedom is given."
        },
    )

    @validates_schema
    def parameters_once(self, data: requests.LensUncertainty, **kwargs: object) -> None:
        """Each parameter once."""
        del kwargs
        names = data["parameters"]
        twice = {index: [tr("Name each parameter once.")] for index, name in enumerate(names) if name in names[:index]}
        if twice:
            raise ValidationError({"parameters": twice})

    @validates_schema
    def require_a_covariance(self, data: requests.LensUncertainty, **kwargs: object) -> None:
        """As many rows and columns as parameters; symmetric; no combination of parameters with a variance below zero."""
        del kwargs
        fault = fault_of(data["covariance"], len(data["parameters"]))
        if fault:
            raise ValidationError(fault, "covariance")
        if "scatter_covariance" not in data:
            return
        if "degrees_of_freedom" not in data:
            raise ValidationError(
                tr("Needed with scatter_covariance: how well its scatter is known."), "degrees_of_freedom"
            )
        fault = fault_of(data["scatter_covariance"], len(data["parameters"]))
        fault = fault or fault_of_part(data["scatter_covariance"], data["covariance"])
        if fault:
            raise ValidationError(fault, "scatter_covariance")


def fault_of(covariance: Sequence[Sequence[float]], size: int) -> str | None:
    """What is wrong with a covariance; None when nothing is."""
    if len(covariance) != size or any(len(row) != size for row in covariance):
        return tr("Give {size} rows of {size} numbers, one for each parameter.", size=size)
    matrix = np.array(covariance, dtype=float)
    variances = np.diag(matrix)
    if np.any(variances < 0):
        return tr("The diagonal holds the squares of the standard uncertainties: none is negative.")
    scale = np.sqrt(variances)
    if np.any(np.abs(matrix - matrix.T) > ROUNDING * np.outer(scale, scale) + np.finfo(float).tiny):
        return tr("Make it symmetric: entry i, j is entry j, i.")
    certain = scale == 0
    if np.any(matrix[certain] != 0):
        return tr(
            "What has no uncertainty goes with nothing: its row and column are zero, or leave it out.",
        )
    kept = matrix[np.ix_(~certain, ~certain)] / np.outer(scale[~certain], scale[~certain])
    if kept.size and np.linalg.eigvalsh(kept)[0] < -ROUNDING:
        return tr(
            "No such covariance can be: some combination of the parameters would have a variance below zero. "
            "Check the entries off the diagonal; none is larger than the product of the two standard "
            "uncertainties.",
        )
    return None


def fault_of_part(part: Sequence[Sequence[float]], covariance: Sequence[Sequence[float]]) -> str | None:
    """What is wrong with a covariance as part of another; None where the rest is a covariance too."""
    scale = np.sqrt(np.diag(np.array(covariance, dtype=float)))
    rest = np.array(covariance, dtype=float) - np.array(part, dtype=float)
    certain = scale == 0
    kept = rest[np.ix_(~certain, ~certain)] / np.outer(scale[~certain], scale[~certain])
    if np.any(rest[certain] != 0) or (kept.size and np.linalg.eigvalsh(kept)[0] < -ROUNDING):
        return tr(
            "It is a part of covariance: no combination of the parameters has more variance here than there.",
        )
    return None


def refuse_absent_parameters(lens: requests.Lens, *known: str) -> None:
    """Every uncertain parameter is `known` or a member that the lens gives; the rear plane may follow from the register."""
    uncertainty = lens.get("uncertainty")
    names = [] if uncertainty is None else uncertainty.get("parameters", [])
    given = {*lens, *known} | ({"rear_principal_plane_mm"} if "register_mm" in lens else set())
    absent = {
        index: [tr("This lens gives no {name}: give it, or leave it out here with its row and column.", name=name)]
        for index, name in enumerate(names)
        if name not in given
    }
    if absent:
        raise ValidationError({"uncertainty": {"parameters": absent}})
