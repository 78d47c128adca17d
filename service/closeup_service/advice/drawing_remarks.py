"""What is worth knowing about a drawing."""

from collections.abc import Sequence

from closeup_service.advice.remark import Remark, remark
from closeup_service.language import tr


def unscaled_features(diameters: int, lengths: Sequence[str]) -> list[Remark]:
    """Say what of a side view is not to scale, because it is not known."""
    body = tr("The camera's body is drawn to no measure")
    also = tr(" and so are the diameters of the parts that state none") if diameters else ""
    notes = [
        remark(
            "drawn-to-no-measure",
            tr("{body}{also}; assumed names what was chosen. Known lengths are to scale.", body=body, also=also),
        )
    ]
    if lengths:
        notes.append(
            remark(
                "length-drawn-by-assumption",
                tr(
                    "The document leaves open what no result depends on, and the drawing shows a length that was chosen: "
                    "{lengths}.",
                    lengths=", ".join(lengths),
                ),
            )
        )
    return notes


def name_middle_lens() -> Remark:
    """Say which lens is drawn where lens data are estimated."""
    return remark(
        "drawn-for-middle-lens",
        tr(
            "Drawn is one lens in the middle of the estimates: parts, flange, sensor and entrance pupil stand "
            "where it puts them. Figures with ranges are medians over all lenses, and may differ a little from "
            "the drawing.",
        ),
    )


def note_on_estimate(*, measured_first: bool) -> str:
    """Say within a drawing that lens data are estimated, or that the magnification is to be measured first."""
    if measured_first:
        return tr(
            "Measure first: such lenses differ too much to tell the magnification. Drawn is one lens in the "
            "middle; photograph a ruler and give the magnification it shows.",
        )
    return tr(
        "Lens data are estimated: drawn is a lens in the middle; 95 of 100 such lenses lie within the ranges.",
    )


def broken_scale() -> Remark:
    """Say that a piece of the way to the subject is left out."""
    return remark(
        "scale-broken",
        tr(
            "The subject stands so far away that a piece of the way to it is left out of the drawing, at the "
            "wavy lines; all else is to scale.",
        ),
    )


def lowered_subject() -> Remark:
    """Say that the subject plane is drawn lower than it is."""
    return remark(
        "subject-drawn-cut",
        tr(
            "What the frame shows is much higher than the set-up: the drawing cuts it, at the wavy lines.",
        ),
    )
