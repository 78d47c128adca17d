"""A scale proved: what passes for a mark at the end of a ruler is left off."""

import numpy as np
from msgspec.structs import replace

from closeup_service.measuring.ruler import proof
from drawn_strip import ALONG, FIRST, LAST, PICTURE, fitted_to, scale, seen


def test_an_end_of_the_ruler_that_passes_for_a_mark_is_left_off() -> None:
    marks = seen(PICTURE, np.linspace(-0.7, 0.7, 7))
    fit = fitted_to(marks)
    one = replace(scale(), model=fit.model, fit=fit)
    assert proof.trim_ends(one, marks) is one
    off = np.where(marks.numbers == LAST, 3.0, 0.0)
    trimmed = proof.trim_ends(one, replace(marks, x=marks.x + off * ALONG[0], y=marks.y + off * ALONG[1]))
    assert (trimmed.first, trimmed.last) == (FIRST, LAST - 1)
    begin_off = np.where(marks.numbers == FIRST, -3.0, 0.0)
    trimmed = proof.trim_ends(one, replace(marks, x=marks.x + begin_off * ALONG[0], y=marks.y + begin_off * ALONG[1]))
    assert (trimmed.first, trimmed.last) == (FIRST + 1, LAST)
