"""`uncertainty` of a lens in a train: standard uncertainties, and how they go together."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from marshmallow import ValidationError, fields, validate, validates_schema

from closeup_service.optics.uncertainty import PARAMETERS
from closeup_service.schemas.fields import Number, RequestSchema, Text

LARGEST = 1e12
ROUNDING = 1e-6
"""Entries of a covariance may be rounded to so small a share of their uncertainties."""

LENGTH = validate.Length(1, len(PARAMETERS), error=f"Give 1 to {len(PARAMETERS)} of them.")


def entry() -> Number:
    """One entry of a covariance."""
    return Number(
        validate=validate.Range(-LARGEST, LARGEST, error=f"Give a number from {-LARGEST:g} to {LARGEST:g}."),
        metadata={"description": "Covariance of two parameters, in the units of both.", "format": "double"},
    )


class LensUncertaintySchema(RequestSchema):
    """What of a lens is uncertain, and the covariance, such as /v1/lens-calibration gives them."""

    parameters = fields.List(
        Text(PARAMETERS, metadata={"description": "A member of this lens."}),
        required=True,
        validate=LENGTH,
        metadata={"description": "Members of this lens that are uncertain, each once."},
    )
    covariance = fields.List(
        fields.List(entry(), validate=LENGTH, metadata={"description": "One row."}),
        required=True,
        validate=LENGTH,
        metadata={
            "description": "Covariance of the parameters, row by row: squares of the standard uncertainties on the diagonal."
        },
    )

    @validates_schema
    def parameters_once(self, data: Mapping[str, Any], **kwargs: Any) -> None:
        """Each parameter once."""
        del kwargs
        names = data["parameters"]
        twice = {index: ["Name each parameter once."] for index, name in enumerate(names) if name in names[:index]}
        if twice:
            raise ValidationError({"parameters": twice})

    @validates_schema
    def a_covariance(self, data: Mapping[str, Any], **kwargs: Any) -> None:
        """As many rows and columns as parameters; symmetric; no combination of parameters with a variance below zero."""
        del kwargs
        fault = fault_of(data["covariance"], len(data["parameters"]))
        if fault:
            raise ValidationError(fault, "covariance")


def fault_of(covariance: Sequence[Sequence[float]], size: int) -> str | None:
    """What is wrong with a covariance; None when nothing is."""
    if len(covariance) != size or any(len(row) != size for row in covariance):
        return f"Give {size} rows of {size} numbers, one for each parameter."
    matrix = np.array(covariance, dtype=float)
    variances = np.diag(matrix)
    if np.any(variances < 0):
        return "The diagonal holds the squares of the standard uncertainties: none is negative."
    scale = np.sqrt(variances)
    if np.any(np.abs(matrix - matrix.T) > ROUNDING * np.outer(scale, scale) + np.finfo(float).tiny):
        return "Make it symmetric: entry i, j is entry j, i."
    certain = scale == 0
    if np.any(matrix[certain] != 0):
        return "What has no uncertainty goes with nothing: its row and column are zero, or leave it out."
    kept = matrix[np.ix_(~certain, ~certain)] / np.outer(scale[~certain], scale[~certain])
    if kept.size and np.linalg.eigvalsh(kept)[0] < -ROUNDING:
        return (
            "No such covariance can be: some combination of the parameters would have a variance below zero. Check the entries "
            "off the diagonal; none is larger than the product of the two standard uncertainties."
        )
    return None


def refuse_absent_parameters(lens: Mapping[str, Any]) -> None:
    """Every uncertain parameter is a member that the lens gives; the rear plane may follow from the register."""
    names = lens.get("uncertainty", {}).get("parameters", [])
    given = set(lens) | ({"rear_principal_plane_mm"} if "register_mm" in lens else set())
    absent = {
        index: [f"This lens gives no {name}: give it, or leave it out here with its row and column."]
        for index, name in enumerate(names)
        if name not in given
    }
    if absent:
        raise ValidationError({"uncertainty": {"parameters": absent}})
