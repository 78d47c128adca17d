"""Remarks on flash by guide number: where the guide number breaks down, and what would mend too weak a flash."""

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import WORTH_SAYING, Remark, remark, undetermined_results
from closeup_service.language import mark, tr

NEAR_MM = 1000.0
"""Below this distance the guide number alone is not trusted (common practice, no source)."""

LEAST_POWER = 1 / 128
"""Few flashes go lower (common practice, no source)."""

CALIBRATE = mark("Calibrate with one frame that came out right: /v1/exposure reckons on from it.")


def guide_number_error(nearest: float, source_diameter: float | None, error: float) -> list[Remark]:
    """Say where the guide number breaks down: near the flash, against its size where that is known."""
    if source_diameter is None:
        return missing_size(nearest) if nearest < NEAR_MM else undetermined_results(SIZE_NEEDED)
    if error >= WORTH_SAYING:
        return [
            remark(
                "inverse-square-off",
                tr(
                    "At {nearest} mm the flash, {source_diameter} mm wide, is no small source: by the inverse square the "
                    "guide number would promise {error:.0%} more light. That is counted here as for an evenly bright, "
                    "bare disc on the axis; reflectors, zoom heads and diffusers differ. {calibrate}",
                    nearest=decimal(nearest, 4),
                    source_diameter=decimal(source_diameter, 4),
                    error=error,
                    calibrate=tr(CALIBRATE),
                ),
            )
        ]
    return near_reflector() if nearest < NEAR_MM else []


SIZE_NEEDED = dict.fromkeys(("inverse_square_error", "inverse_square_error_stops"), ("/source_diameter_mm",))


def missing_size(nearest: float) -> list[Remark]:
    """At arm's length the size of the source counts."""
    return [
        remark(
            "guide-number-near",
            tr(
                "A guide number is measured metres away; at {nearest} mm it promises too much, the more so the "
                "larger the source, and the reflector of a zoom head or a diffuser changes it again. {calibrate}",
                nearest=decimal(nearest, 4),
                calibrate=tr(CALIBRATE),
            ),
        ),
        *undetermined_results(SIZE_NEEDED),
    ]


def near_reflector() -> list[Remark]:
    """At arm's length the reflector counts even where the size does not."""
    return [
        remark(
            "guide-number-near",
            tr(
                "A guide number is measured metres away with the reflector set as its maker says; at arm's length "
                "and nearer a zoom head or a diffuser changes it. {calibrate}",
                calibrate=tr(CALIBRATE),
            ),
        )
    ]


def missing_light(stops: float, ways: list[str]) -> Remark:
    """Say how much light is missing at full power, and what would give it."""
    means = tr(" Any one of these would do: {ways}.", ways="; ".join(ways)) if ways else ""
    return remark(
        "flash-too-weak",
        tr(
            "The flash is {stops} stops too weak: even full power leaves the picture that much too dark.{means} "
            "Or open the aperture, use more heads, or take filters away.",
            stops=decimal(stops, 2),
            means=means,
        ),
    )


def very_low_power(fraction: float) -> list[Remark]:
    """Say that few flashes go so low."""
    if fraction >= LEAST_POWER:
        return []
    return [
        remark(
            "flash-power-very-low",
            tr(
                "1/{fraction} of full power is needed, and few flashes go below 1/128: take the flash farther away, "
                "put a filter before it, or close the aperture.",
                fraction=decimal(1 / fraction),
            ),
        )
    ]


def excess_of_one_flash(stops: float) -> Remark:
    """Say that a single flash at the stated power is more than enough."""
    return remark(
        "one-flash-too-strong",
        tr(
            "One flash at this power already gives {stops} stops too much: lower the power or take it farther away.",
            stops=decimal(stops, 2),
        ),
    )


def several_flashes(pops: int) -> list[Remark]:
    """Say what several flashes with the shutter open ask for."""
    if pops == 1:
        return []
    return [
        remark(
            "several-flashes",
            tr(
                "{pops} flashes add up only if subject and camera do not move between them and the room is dark "
                "enough for so long; film takes somewhat less from many weak flashes than from one strong "
                "(reciprocity, not counted).",
                pops=pops,
            ),
        )
    ]


def f_number_beyond_rings(f_number: float) -> Remark:
    """Say that no ring has the f-number."""
    text = (
        mark(
            "No aperture ring has f/{f_number}: it takes less light from the flash, by its power, its distance or iso."
        )
        if f_number > 1
        else mark(
            "No aperture ring has f/{f_number}: it takes more light from the flash, by its power, its distance or iso."
        )
    )
    return remark(
        "beyond-every-ring",
        tr(text, f_number=decimal(f_number)),
    )
