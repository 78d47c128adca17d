"""Remarks on the uncertainty of a set-up."""

from collections.abc import Sequence

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark, remark


def uncertainty(certain: Sequence[str], switching: bool, failing: Sequence[str], refusal: str | None) -> list[Remark]:
    """What the uncertainty covers, and why some of it is null."""
    notes = [
        remark(
            "uncertainty-of-lenses-alone",
            "uncertainty holds standard uncertainties (about two chances in three) from what the lenses state, and "
            "expanded_uncertainty half the 95 % intervals; lengths, registers and settings count as exact"
            + (f", and so do the lenses {', '.join(certain)}." if certain else "."),
        )
    ]
    if refusal is not None:
        text = "uncertainty is null throughout: within two standard uncertainties this set-up cannot be. "
        notes.append(remark("uncertainty-set-up-fails", text + refusal))
    if switching:
        notes.append(
            remark(
                "uncertainty-stop-switches",
                "Within two standard uncertainties another stop may come to govern: the uncertainty of the aperture, and of "
                "what rests on it, is null. Stop the lens down further, or use a wider tube.",
            )
        )
    if failing:
        verb, become = ("has", "it becomes") if len(failing) == 1 else ("have", "they become")
        notes.append(
            remark(
                "uncertainty-unlimited",
                f"{', '.join(failing)} {verb} no uncertainty: within two standard uncertainties {become} unlimited.",
            )
        )
    return notes


def held_length(pointer: str, value: float) -> Remark:
    """Say at which length the uncertainty holds."""
    return remark(
        "solved-length-held",
        f"uncertainty holds with the solved length {pointer} held at {decimal(value, 6)} as it was found.",
    )
