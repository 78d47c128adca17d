"""Numbers that hypothesis draws over several powers of ten."""

import math

from hypothesis import strategies as st


def positive(low: float, high: float) -> st.SearchStrategy[float]:
    """Evenly over the powers of ten, ends included."""
    return st.floats(math.log(low), math.log(high)).map(lambda exponent: min(max(math.exp(exponent), low), high))
