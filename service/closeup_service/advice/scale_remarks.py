"""Remarks on a scale read from a ruler, and on a bar that carries it into the picture."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal, percent
from closeup_service.advice.remark import WORTH_SAYING, Remark, error_of, remark
from closeup_service.language import mark, tr

LARGE = 0.1
"""Relative uncertainty above which the propagation of first order is named as rough."""

WHAT_HELPS = {
    "reading": mark(
        "the reading of the two marks adds most. Let them stand farther apart in the frame, use a ruler with "
        "finer division (a stage micrometer above about 2:1), or give the marks' places in a picture of full "
        "resolution",
    ),
    "ruler": mark(
        "the ruler itself adds most. Use an engraved one with a certificate, or compare yours with one",
    ),
    "sensor": mark(
        "the pixel pitch, or the used width of the sensor, adds most. Work out the pitch from the sensor's "
        "exact width and its whole number of pixels, and mind the crop of video modes",
    ),
    "tilt": mark(
        "the tilt adds most. Lay a mirror where the ruler lies and turn the camera until the lens's own "
        "image is in the middle of the frame: then the two are square to each other",
    ),
}
"""How to lessen each source of error; common practice, no source."""


def assumed_reading_error(by_places: bool, error: float, division: float) -> Remark:
    """Say what was assumed of the reading of each mark."""
    how = (
        tr("each mark was taken to be placed within a pixel either way (rectangular)")
        if by_places
        else tr("each mark was taken to be read to the nearest {division} mm (rectangular)", division=decimal(division))
    )
    unit = tr("pixels") if by_places else "mm"
    name = "reading_error_px" if by_places else tr("reading_error_mm or finest_division_mm")
    return remark(
        "reading-error-assumed",
        tr(
            "No reading error was given: {how}, a standard uncertainty of {error} {unit}. Give {name} if you "
            "know better.",
            how=how,
            error=decimal(error),
            unit=unit,
            name=name,
        ),
    )


def uncounted_errors(names: Sequence[str]) -> list[Remark]:
    """Say which errors were taken as none."""
    if not names:
        return []
    text = tr(
        "Not given, so taken as 0: {names}. The true uncertainty is larger by what they hide.", names=", ".join(names)
    )
    return [remark("errors-not-counted", text)]


def dominant_source(dominant: str | None, share: float) -> list[Remark]:
    """Say which source dominates and what would lessen it."""
    if dominant is None:
        return []
    return [
        remark(
            "what-helps-most",
            tr("Of the variance {share:.0%}: {what_helps}.", share=share, what_helps=tr(WHAT_HELPS[dominant])),
        )
    ]


def ignored_tilt(foreshortening: float, keystone: bool) -> list[Remark]:
    """Say what the shortcut of ignoring the tilt would state, and that the scale runs across the frame."""
    notes = []
    if abs(foreshortening - 1) >= WORTH_SAYING:
        text = tr(
            "The shortcut of ignoring the tilt would state the magnification {off}.", off=error_of(foreshortening, 1.0)
        )
        notes.append(remark("shortcut-no-tilt", text))
    if keystone:
        text = tr(
            "Along a tilted ruler the scale changes from the near to the far end; this is its mean, right where "
            "the two marks stand at equal distances from the middle of the frame.",
        )
        notes.append(remark("tilt-changes-scale", text))
    return notes


def whole_width_shortcut(used_mm: float | None, whole_mm: float | None) -> list[Remark]:
    """Say what the shortcut of the whole sensor's width would state."""
    if used_mm is None or whole_mm is None or abs(whole_mm / used_mm - 1) < WORTH_SAYING:
        return []
    text = tr(
        "The shortcut of taking the whole width of the sensor would state the magnification {off}.",
        off=error_of(whole_mm, used_mm),
    )
    return [remark("shortcut-whole-sensor", text)]


def scaled_picture(pixel_mm: float | None, pitch_mm: float | None) -> list[Remark]:
    """Say that the picture does not hold the sensor's own pixels, or that full resolution was taken for granted."""
    if pitch_mm is None or pixel_mm is None or pixel_mm == pitch_mm:
        return []
    return [
        remark(
            "picture-scaled",
            tr(
                "A pixel of this picture is {pixel_mm} um wide on the sensor, whose own pitch is {pitch_mm} um: the "
                "picture was scaled, and its own pixels were counted. If it was cut instead, leave out "
                "image_width_px and give pixel_pitch_um alone.",
                pixel_mm=decimal(pixel_mm * 1000),
                pitch_mm=decimal(pitch_mm * 1000),
            ),
        )
    ]


def assumed_full_resolution() -> Remark:
    """Say that the places were taken to be those of the sensor's own pixels."""
    return remark(
        "full-resolution-taken",
        tr(
            "Pixels of the picture were taken as those of the sensor. For a picture that was scaled down give "
            "the sensor's used width and image_width_px instead of pixel_pitch_um.",
        ),
    )


def wide_uncertainty(relative: float, reaches_zero: bool) -> list[Remark]:
    """Say where the figures of the uncertainty itself are rough, and where the interval has no low end."""
    notes = []
    if relative > LARGE:
        text = tr(
            "With a relative uncertainty of {relative:.0%} the propagation, which is of first order, is rough.",
            relative=relative,
        )
        notes.append(remark("uncertainty-rough", text))
    if reaches_zero:
        text = tr(
            "magnification_low is null: the interval reaches zero, since the marks are hardly apart for their error.",
        )
        notes.append(remark("interval-without-low-end", text))
    return notes


def computed_scale() -> Remark:
    """Say that a scale by calculation is not a measured one."""
    return remark(
        "scale-computed",
        tr(
            "The label says that the scale was computed: for a figure that others may measure by, photograph a "
            "ruler at the same setting, read it with /v1/scale-reading, and give scale_basis measured.",
        ),
    )


def drawn_pixels(length_px: float, drawn_px: int) -> list[Remark]:
    """Say how far the bar in whole pixels is off."""
    if abs(drawn_px / length_px - 1) < WORTH_SAYING:
        return []
    text = tr(
        "In whole pixels, as PNG draws it, the bar is {off}: the SVG has the exact length, and a picture "
        "with more pixels would do better.",
        off=error_of(drawn_px, length_px),
    )
    return [remark("bar-rounded-to-pixels", text)]


def depth_scale_change(change: float | None) -> list[Remark]:
    """Say how far the bar holds over the subject's depth."""
    if change is None or change == 0:
        return []
    return [
        remark(
            "scale-over-depth",
            tr(
                "The bar holds in the plane of its scale alone: the subject's nearest point is drawn {change}% "
                "larger (z / (z - x) - 1, z from the entrance pupil), so it measures too long by that.",
                change=percent(change, 2),
            ),
        )
    ]


def stacked_picture() -> Remark:
    """Say what stacking does to a picture's size."""
    return remark(
        "picture-cut-or-resized",
        tr(
            "Software that aligns the frames of a stack cuts their edges and may scale them to the first frame: "
            "count the pixels of its result, and take the scale of the frame that it kept unscaled.",
        ),
    )
