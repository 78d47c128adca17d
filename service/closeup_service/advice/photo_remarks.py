"""Remarks on what the photograph of a ruler tells."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import Remark, remark
from closeup_service.language import tr


def reduced_bit_depth(in_file: int, used: int) -> list[Remark]:
    """Say that the file holds more than was read of it."""
    if used >= in_file:
        return []
    text = tr(
        "The file holds {in_file} bits of each colour, of which {used} were used: photographs in colour are "
        "read so. Save it in grey for a reading from all of them.",
        in_file=in_file,
        used=used,
    )
    return [remark("depth-reduced", text)]


def further_pictures() -> Remark:
    """Say that a file holds more than one picture."""
    return remark("first-picture-only", tr("The file holds further pictures or pages: its first one was read."))


def unknown_tilt(share_of_tilt: float, largest_deg: float) -> Remark:
    """Say what the tilt that is not known makes uncertain."""
    text = tr(
        "tilt_deg and tilt_uncertainty_deg are not determined without perspective_distance_mm, from the "
        "entrance pupil to the subject. The cosine error of a tilt of up to {largest_deg} degrees is counted "
        "in the uncertainty instead: {share_of_tilt} %. Give largest_tilt_deg if you laid the ruler more "
        "exactly.",
        largest_deg=decimal(largest_deg),
        share_of_tilt=percent(share_of_tilt),
    )
    return remark("not-determined", text)


def limited_tilt(largest_deg: float) -> Remark:
    """Say that a largest tilt narrowed the measured one."""
    text = tr(
        "The tilt is what the photograph shows and up to {largest_deg} degrees either way, both together "
        "(largest_tilt_deg).",
        largest_deg=decimal(largest_deg),
    )
    return remark("tilt-limited", text)


def contradicted_tilt() -> Remark:
    """Say that the photograph speaks against the largest tilt."""
    text = tr(
        "The photograph shows more tilt than largest_tilt_deg allows, so largest_tilt_deg was not used. "
        "Check it, and perspective_distance_mm if you gave it.",
    )
    return remark("largest-tilt-exceeded", text)


def tilt_about_two_axes(least_deg: float, known: bool) -> Remark:
    """Say that marks off square to the ruler show a tilt about two axes."""
    what = (
        tr("The scale was taken along the ruler and freed of the tilt.")
        if known
        else tr(
            "The scale was taken along the ruler, but it is not freed of the tilt: give perspective_distance_mm, "
            "or lay the ruler square.",
        )
    )
    text = tr(
        "The marks are not square to the ruler in the photograph: the ruler is tilted about two axes, about "
        "one of them by more than {least_deg} degrees. {what}",
        least_deg=decimal(least_deg, 2),
        what=what,
    )
    return remark("tilted-about-two-axes", text)


def longer_marks(fits: bool | None, every: Sequence[int], asked_mm: float, suggested_mm: float | None) -> list[Remark]:
    """Say what marks of several lengths tell of the pitch that was given."""
    if suggested_mm is not None:
        text = tr(
            "Every {every} mark is longer, which would suit finest marks {suggested_mm} mm apart better than the "
            "{asked_mm} mm given: count them, since the scale goes with the pitch.",
            every=format_ordinals(every),
            suggested_mm=decimal(suggested_mm),
            asked_mm=decimal(asked_mm),
        )
        return [remark("pitch-doubtful", text)]
    if fits is False:
        text = tr(
            "Every {every} mark is longer, which no common division with finest marks {asked_mm} mm apart has: "
            "count them, since the scale goes with the pitch.",
            every=format_ordinals(every),
            asked_mm=decimal(asked_mm),
        )
        return [remark("pitch-doubtful", text)]
    return []


def format_ordinals(every: Sequence[int]) -> str:
    """Ordinal numbers in figures: 2nd, 4th and 8th."""
    ordinals = [tr("2nd") if number == 2 else tr("{number}th", number=number) for number in every]
    return tr(" and ").join(filter(None, (", ".join(ordinals[:-1]), ordinals[-1])))


def unchecked_pitch() -> Remark:
    """Say that nothing in the picture speaks for the pitch or against it."""
    text = tr(
        "No longer marks were found to check the pitch by: the scale is as right as the pitch given.",
    )
    return remark("pitch-not-checked", text)


def turned_frame() -> Remark:
    """Say how the sensor was laid against an upright picture."""
    text = tr("The photograph is upright: its longer side was taken to lie along the sensor's width.")
    return remark("frame-turned", text)


def zones_without_marks(names: Sequence[str]) -> list[Remark]:
    """Say why some zones have no figure."""
    if not names:
        return []
    text = tr(
        "edge_width_um is not determined where the ruler does not lie: {names}. Lay it across them for more frames.",
        names=", ".join(names),
    )
    return [remark("zones-without-marks", text)]


def grey_photograph() -> Remark:
    """Say why there is no lateral colour."""
    names = tr("lateral_colour_um, red_scale_difference and blue_scale_difference")
    return remark("not-determined", tr("{names} are not determined from a grey photograph.", names=names))


def uneven_ground() -> Remark:
    """Say why there is no fall-off."""
    text = tr(
        "fall_off_stops is not determined: the ruler's ground is too uneven, or seen too little, to tell it.",
    )
    return remark("not-determined", text)


def edge_direction() -> Remark:
    """Say what the edges were measured across."""
    text = tr(
        "Sharpness was measured across the marks, which lie along one direction: turn the ruler by 90 "
        "degrees for the other one (astigmatism). Sharpening in camera or software narrows edges: switch it "
        "off for tests.",
    )
    return remark("along-the-ruler-only", text)


def score_meaning() -> Remark:
    """Say what the score is."""
    text = tr(
        "sharpness_score is the mean, over the zones that every photograph shows, of the narrowest edge "
        "there over the photograph's own: 1 would be sharpest everywhere. It weighs all zones alike.",
    )
    return remark("how-scored", text)


def missing_common_zone() -> Remark:
    """Say why there is no score."""
    text = tr(
        "best_frame and sharpness_score are not determined: no zone shows enough marks in every photograph.",
    )
    return remark("not-determined", text)


def small_difference(frames: Sequence[int]) -> list[Remark]:
    """Say that a difference is too small to count."""
    if len(frames) < 2:
        return []
    text = tr(
        "Photographs {frames} are within 3 % of each other, which repeated frames may differ by.",
        frames=tr(" and ").join(map(str, frames)),
    )
    return [remark("too-alike", text)]
