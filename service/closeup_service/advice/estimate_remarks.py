"""Remarks on lenses that are known only in part: what the figures rest on, and what to measure first."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark
from closeup_service.language import mark, tr

LENS_ESTIMATED, MEASURE_FIRST = "lens-estimated", "measure-first"


def estimated_lens(words: str, designs: int, *, measured: bool) -> Remark:
    """Say what the estimates are based on."""
    text = (
        mark(
            "Estimated from {designs} published designs of {words}, narrowed by what is known of this one. 95 of 100 such "
            "lenses lie within the ranges; each figure is the median. Published designs are not the lens in your hand."
        )
        if measured
        else mark(
            "Estimated from {designs} published designs of {words}: the planes and pupils of this one are not known. "
            "95 of 100 such lenses lie within the ranges; each figure is the median. Published designs are not the lens in "
            "your hand."
        )
    )
    return remark(LENS_ESTIMATED, tr(text, designs=designs, words=tr(words)))


def measure_first(figures: Sequence[str]) -> Remark:
    """Say which figures are not told, and what would tell them."""
    return remark(
        MEASURE_FIRST,
        tr(
            "Measure first: such lenses differ too much to tell {figures}. Photograph a ruler once with the lens "
            "as it is to be used, read the magnification, and give it as measured.",
            figures=", ".join(figures),
        ),
    )


def count_untold_rows(rows: int, of: int) -> Remark:
    """Say in how many rows of a table figures are not told."""
    return remark(
        "rows-not-told",
        tr("In {rows} of {of} rows a figure is null because it is to be measured first.", rows=rows, of=of),
    )


def measure_marked_figures() -> str:
    """Say what would tell the figures that are marked as to be measured first."""
    return tr(
        "Figures marked so are to be measured first: such lenses differ too much. Photograph a ruler once "
        "with the lens as it is to be used, read the magnification, and give it as measured.",
    )


def narrow_ranges() -> str:
    """Say what narrows the ranges most."""
    return tr(
        "Photograph a ruler once with this lens and give the magnification that it shows: the ranges shrink "
        "to about a fifth or less.",
    )


def missing_statistics(words: str, low: float, high: float) -> Remark:
    """Say that there are no statistics of such lenses."""
    return remark(
        "no-statistics",
        tr(
            "There are no statistics of {words} beyond {low} to {high} mm of focal length: figures that depend "
            "on estimated data are not told, or are only a hint. Measure the lens: photograph a ruler at two "
            "known extensions.",
            words=tr(words),
            low=decimal(low),
            high=decimal(high),
        ),
    )


def unexpected_reading(name: str, value: float, low: float, high: float) -> Remark:
    """Question a reading that hardly any lens of the class would give."""
    return remark(
        "unexpected-reading",
        tr(
            "{name} of {value} is unlike lenses of its class, which have {low} to {high} (95 of 100): check the "
            "reading, and whether lens_class is right.",
            name=name,
            value=decimal(value),
            low=decimal(low),
            high=decimal(high),
        ),
    )


def partial_refusal(share: float, reason: str) -> Remark:
    """Say that some of the lenses of a class cannot be used so."""
    return remark(
        "not-every-lens",
        tr(
            "With {share:.0%} of such lenses this cannot be: {reason} The ranges are those of the others.",
            share=share,
            reason=reason,
        )
        if reason
        else tr("With {share:.0%} of such lenses this cannot be. The ranges are those of the others.", share=share),
    )


def missing_focal_length() -> Remark:
    """Say why nothing is estimated."""
    return remark(
        "not-estimated",
        tr(
            "Nothing of the lens is estimated without its focal length: give focal_length_mm, and "
            "lens_register_mm or lens_class.",
        ),
    )


def steps_of_middle_lens() -> Remark:
    """Say of which lens the steps are."""
    return remark(
        "steps-of-middle-lens",
        tr(
            "The steps are those of one lens in the middle of the estimates, whose data are listed under "
            "estimated. The figures of the answer are medians over all lenses and may differ a little from it.",
        ),
    )
