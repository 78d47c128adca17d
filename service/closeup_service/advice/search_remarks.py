"""Remarks on what a search found."""

from collections.abc import Sequence

from closeup_service.advice.figures import plain
from closeup_service.advice.remark import Remark, remark


def sharpness_unknown(lenses: Sequence[str]) -> list[Remark]:
    """Say that the ranking knows nothing of some lenses' own sharpness."""
    if not lenses:
        return []
    return [
        remark(
            "sharpness-unknown",
            f"How sharp {', '.join(lenses)} by themselves are is not known: they are ranked by geometry and diffraction alone, "
            "and taken to be best two stops down from their widest mark where no depth asks for another. Give "
            "sharp_from_f_number in the kit.",
        )
    ]


def no_marks(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses were left out."""
    if not lenses:
        return []
    text = f"Left out, since the kit states no marks of their rings: {', '.join(lenses)}. Give f_numbers or an aperture_series."
    return [remark("no-marks", text)]


def nothing_frames(frame: float | None) -> Remark:
    """Say that nothing fills the frame, and what comes nearest."""
    if frame is None:
        return remark(
            "nothing-frames",
            "No arrangement of these parts comes within half or twice the magnification that fills the frame. Allow more "
            "arrangements, or look with /v1/ring-chains whether the parts can be joined at all.",
        )
    return remark(
        "nothing-frames",
        f"Nothing fills the frame within the tolerance: what comes nearest shows {plain(frame)} times the subject's size.",
    )


def several_wishes(wishes: Sequence[str]) -> Remark:
    """Say that more than one wish must give."""
    return remark(
        "several-wishes",
        f"No single wish is to blame: with any one of them relaxed, another is still not met. The nearest set-up misses "
        f"{' and '.join(wishes)}.",
    )


def no_purchase(budget: float) -> Remark:
    """Say that no single part closes the gap."""
    return remark(
        "no-purchase",
        f"No single ring, tube or close-up lens that is tried, within {plain(budget, 6)}, lets anything meet every wish.",
    )


def purchase_cut() -> Remark:
    """Say that not everything on sale was tried."""
    return remark(
        "purchase-cut", "The kit is large: not every part on sale was tried. Allow fewer arrangements to try them all."
    )


def price_unknown(part: str) -> Remark:
    """Say that nobody states what the part costs."""
    return remark(
        "price-unknown", f"What {part} costs is not known: whether it lies within the budget is for you to find."
    )


def front_cut(there_are: int, listed: int) -> Remark:
    """Say that the Pareto front is longer."""
    return remark(
        "front-cut", f"The Pareto front has {there_are} set-ups; the {listed} with the best scores are listed."
    )
