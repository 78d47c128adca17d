"""Between the settings of a zoom that were measured."""

from collections.abc import Sequence

import numpy as np

from closeup_service.measuring.lens.calibration import QUANTITIES, Estimates
from closeup_service.optics.arithmetic import FloatArray


def interpolate_lens(settings: Sequence[float], measured: Sequence[Estimates], wanted: float) -> Estimates:
    """Lens at a setting within the measured ones, on straight lines between neighbours.

    Its covariance is the mean of e e^T over the errors e that every inner setting would have if it were left out and drawn
    from its neighbours, so that it errs on the large side; None with fewer than three settings. A setting that was measured
    keeps its own.

    Parameters
    ----------
    settings : of the zoom, as they were measured
    measured : lens at each of the settings
    wanted : setting to estimate, within the others and in their unit

    Returns
    -------
    Estimates : quantities and their covariance
    """
    order = np.argsort(settings)
    ordered: list[Estimates] = [measured[index] for index in order]
    marks = np.array(settings, dtype=float)[order]
    if wanted in marks:
        return ordered[list(marks).index(wanted)]
    names = [name for name in QUANTITIES if all(each.values[name] is not None for each in measured)]
    table = np.array([[each.values[name] for name in names] for each in ordered], dtype=float)
    drawn = [float(np.interp(wanted, marks, column)) for column in table.T]
    values: dict[str, float | None] = dict.fromkeys(QUANTITIES) | dict(zip(names, drawn, strict=True))
    inner = len(marks) - 2
    if inner < 1:
        return Estimates(values)
    errors = interpolation_errors(marks, table)
    covariance = errors.T @ errors / inner
    uncertain = [index for index in range(len(names)) if covariance[index, index] > 0]
    kept = covariance[np.ix_(uncertain, uncertain)]
    return Estimates(values, tuple(names[index] for index in uncertain), kept, kept, inner)


def interpolation_errors(marks: FloatArray, table: FloatArray) -> FloatArray:
    """Error of each inner setting drawn from its two neighbours, one row each.

    Parameters
    ----------
    marks : settings in rising order, in any unit, shape (settings,)
    table : quantities, each in its unit, shape (settings, quantities)

    Returns
    -------
    array : in the units of the quantities, shape (settings - 2, quantities)
    """
    errors = [
        table[index]
        - [np.interp(marks[index], marks[[index - 1, index + 1]], pair) for pair in table[[index - 1, index + 1]].T]
        for index in range(1, len(marks) - 1)
    ]
    return np.array(errors)
