"""Remarks on the uncertainty of a set-up."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark
from closeup_service.language import tr, tr_each


def uncertainty(certain: Sequence[str], switching: bool, failing: Sequence[str], refusal: str | None) -> list[Remark]:
    """What the uncertainty covers, and why some of it is null."""
    notes = [
        remark(
            "uncertainty-of-lenses-alone",
            tr(
                "uncertainty holds standard uncertainties (about two chances in three) from what the lenses state, and "
                "expanded_uncertainty half the 95 % intervals; lengths, registers and settings count as exact, and so do "
                "the lenses {certain}.",
                certain=", ".join(certain),
            )
            if certain
            else tr(
                "uncertainty holds standard uncertainties (about two chances in three) from what the lenses state, and "
                "expanded_uncertainty half the 95 % intervals; lengths, registers and settings count as exact."
            ),
        )
    ]
    if refusal is not None:
        text = tr(
            "uncertainty is null throughout: within two standard uncertainties this set-up cannot be. {refusal}",
            refusal=refusal,
        )
        notes.append(remark("uncertainty-set-up-fails", text))
    if switching:
        notes.append(
            remark(
                "uncertainty-stop-switches",
                tr(
                    "Within two standard uncertainties another stop may come to govern: the uncertainty of the aperture, "
                    "and of what rests on it, is null. Stop the lens down further, or use a wider tube.",
                ),
            )
        )
    if failing:
        notes.append(
            remark(
                "uncertainty-unlimited",
                tr_each(
                    "{failing} has no uncertainty: within two standard uncertainties it becomes unlimited.",
                    "{failing} have no uncertainty: within two standard uncertainties they become unlimited.",
                    len(failing),
                    failing=", ".join(failing),
                ),
            )
        )
    return notes


def held_length(pointer: str, value: float) -> Remark:
    """Say at which length the uncertainty holds."""
    return remark(
        "solved-length-held",
        tr(
            "uncertainty holds with the solved length {pointer} held at {value} as it was found.",
            pointer=pointer,
            value=decimal(value, 6),
        ),
    )
