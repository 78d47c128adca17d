"""Remarks on what a search found."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark
from closeup_service.language import mark, tr
from closeup_service.optics.how_to_find import how_to_find

MOST_NAMES = 12
MEASURE = mark(
    "Photograph a ruler once with the lens reversed, read the magnification, and give it as measured in "
    "the kit; or measure front_principal_plane_mm.",
)


def list_names(names: Sequence[str]) -> str:
    """Names in a row; of many the first."""
    rest = len(names) - MOST_NAMES
    return ", ".join(names[:MOST_NAMES]) + (tr(" and {rest} more", rest=rest) if rest > 0 else "")


def unknown_sharpness(lenses: Sequence[str]) -> list[Remark]:
    """Say that the ranking knows nothing of some lenses' own sharpness."""
    return remarks_on_lenses(
        "sharpness-unknown",
        tr("The kit does not state how sharp these lenses are"),
        lenses,
        tr(
            "They are ranked by geometry and diffraction alone, and assumed best about two stops down from their "
            "widest mark where no depth asks for another. Give sharp_from_f_number in the kit.",
        ),
    )


def remarks_on_lenses(code: str, what: str, lenses: Sequence[str], to_do: str) -> list[Remark]:
    """Say what is missing of some lenses, and what to do."""
    return [remark(code, f"{what}: {list_names(lenses)}. {to_do}")] if lenses else []


def lenses_without_marks(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses were left out."""
    what = tr("Left out, since the kit states no marks of their rings")
    return remarks_on_lenses("no-marks", what, lenses, tr("Give f_numbers or an aperture_series."))


def lenses_without_front_plane(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses could not be tried reversed, since their front principal plane is not known."""
    what = tr("Not tried reversed on tubes or bellows, since front_principal_plane_mm is not known")
    return remarks_on_lenses("front-plane-unknown", what, lenses, how_to_find("front_principal_plane_mm"))


def lenses_without_front_thread(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses could not be tried reversed, since nothing can be screwed to them."""
    what = tr("Not tried reversed, since the kit states no filter thread to mount them by")
    return remarks_on_lenses("front-thread-unknown", what, lenses, tr("Give front_thread in the kit."))


def lenses_without_rear_plane(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses could not be tried mounted normally."""
    what = tr(
        "Not tried mounted normally, since neither register_mm nor rear_principal_plane_mm is known",
    )
    return remarks_on_lenses("rear-plane-unknown", what, lenses, how_to_find("register_mm"))


def assumed_pupils(lenses: Sequence[str]) -> list[Remark]:
    """Say of which lenses the pupil magnification was assumed."""
    what = tr(
        "Pupil magnification assumed as 1, which can put f-numbers, light and depth off by a third and more",
    )
    return remarks_on_lenses(
        "pupils-assumed", what, lenses, tr("Measure both pupils and give pupil_magnification in the kit.")
    )


def merged_lengths(resolution: float) -> Remark:
    """Say that lengths were merged."""
    return remark(
        "lengths-alike",
        tr(
            "The kit is large: tubes whose total lengths differ by less than {resolution} mm count as the same, "
            "and only the best of them is tried. Allow fewer arrangements, or mark parts as not available, for a "
            "finer search.",
            resolution=decimal(resolution),
        ),
    )


def nearest_frame(frame: float | None, *, some_left_out: bool, cut: bool) -> Remark:
    """Say that nothing fills the frame, and what comes nearest."""
    also = tr(" Some lenses were left out because data are missing: see the other remarks.") if some_left_out else ""
    if cut:
        text = tr(
            "Nothing that was tried fills the frame within the tolerance; the kit is too large to look for the "
            "nearest.",
        )
    elif frame is None:
        text = tr(
            "No arrangement that was tried comes within half or twice the magnification that fills the frame and "
            "leaves the clearance that is wanted. Allow more arrangements, or look with /v1/ring-chains whether "
            "the parts can be joined at all.",
        )
    else:
        text = tr(
            "Nothing that was tried fills the frame within the tolerance: what comes nearest shows {frame} times "
            "the subject's size.",
            frame=decimal(frame),
        )
    return remark("nothing-frames", text + also)


def several_wishes(wishes: Sequence[str]) -> Remark:
    """Say that more than one wish must give."""
    return remark(
        "several-wishes",
        tr(
            "No single wish is to blame: with any one of them relaxed, another is still not met. The nearest "
            "set-up misses {wishes}.",
            wishes=tr(" and ").join(wishes),
        ),
    )


def missing_budget() -> Remark:
    """Say that purchases were not tried."""
    return remark(
        "no-budget",
        tr(
            "No purchase was tried. Give budget to see whether one part to buy would meet the wishes.",
        ),
    )


def missing_purchase(budget: float) -> Remark:
    """Say that no single part closes the gap."""
    return remark(
        "no-purchase",
        tr(
            "No single part that was tried, within a budget of {budget}, lets anything meet every wish. Relax a "
            "wish, or list more parts in the kit as not owned: lenses, converters and objectives are tried only "
            "where it lists them.",
            budget=decimal(budget, 6),
        ),
    )


def cut_purchases() -> Remark:
    """Say that not everything on sale was tried."""
    return remark(
        "purchase-cut",
        tr(
            "The kit is large: not every part on sale was tried. Allow fewer arrangements to try them all.",
        ),
    )


def unknown_price(part: str) -> Remark:
    """Say that nobody states what the part costs."""
    return remark(
        "price-unknown",
        tr("What {part} costs is not known: whether it lies within the budget is for you to find.", part=part),
    )


def cut_front(there_are: int, listed: int) -> Remark:
    """Say that the Pareto front is longer."""
    return remark(
        "front-cut",
        tr(
            "The Pareto front has {there_are} set-ups; the {listed} with the best scores are listed.",
            there_are=there_are,
            listed=listed,
        ),
    )


def estimated_lenses(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses are estimated."""
    what = tr(
        "Data that the kit does not state are estimated from published designs of the lens's class",
    )
    return remarks_on_lenses(
        "lens-estimated",
        what,
        lenses,
        tr(
            "Set-ups with them tell medians with ranges, within which 95 of 100 such lenses lie. Published "
            "designs are not the lens in your hand.",
        ),
    )


def lenses_to_measure(lenses: Sequence[str]) -> list[Remark]:
    """Say which lenses are not tried reversed, since nothing can be told of their magnification."""
    what = tr(
        "Measure first; not tried reversed on tubes or bellows, since such lenses differ too much to tell "
        "what they show",
    )
    return remarks_on_lenses("measure-first", what, lenses, tr(MEASURE))


def untold_set_ups(lenses: Sequence[str]) -> list[Remark]:
    """Say with which lenses the magnification is not told."""
    what = tr(
        "Measure first: the magnification is not told of some set-ups with these lenses, which differ too much",
    )
    return remarks_on_lenses("measure-first", what, lenses, tr(MEASURE))


def lenses_without_statistics(lenses: Sequence[str]) -> list[Remark]:
    """Say of which lenses nothing is estimated."""
    what = tr("Not estimated, since there are no statistics of such lenses at their focal length")
    to_do = tr("Photograph a ruler at two known extensions, and have the lens calibrated by them.")
    return remarks_on_lenses("no-statistics", what, lenses, to_do)


def contradictory_lenses(lenses: Sequence[str]) -> list[Remark]:
    """Say of which lenses the readings contradict each other."""
    what = tr(
        "Not tried, since no lens of their class could have what the kit states and measures of them",
    )
    to_do = tr("Measure again, name another lens_class, or search without estimate_unknown.")
    return remarks_on_lenses("readings-contradict", what, lenses, to_do)
