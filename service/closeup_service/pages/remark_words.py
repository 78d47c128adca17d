"""Remarks in the words of the page: what to enter, where an operation says what it leaves open."""

import re
from collections.abc import Sequence

from msgspec import Struct

from closeup_service.language import tr
from closeup_service.pages.recognizing import Source, recognize
from closeup_service.schemas.describing import label, write_in_words

MEMBER = re.compile(r"[a-z]+(?:_[a-z0-9]+)*")
RESULTS = ("name", "names")
"""Places that name results."""


class Rewording(Struct, frozen=True):
    """What the page says in place of a remark, whose places it can use."""

    source: Source
    said: str


REWORDINGS = (
    Rewording(
        (
            "{names} is not determined without {members}. {hints}",
            "{names} are not determined without {members}. {hints}",
        ),
        "Left out of the result: {names}. To calculate that, enter: {members}. {hints}",
    ),
    Rewording(
        "{name} is not determined without {missing}.",
        "Left out of the result: {name}. To calculate that, enter: {missing}.",
    ),
    Rewording(
        "How bright the finder is while focusing is not determined: it needs a marked f-number, and magnification and "
        "pupils of the lens, or a set-up whose governing stop bears a mark.",
        "Left out of the result: How bright the finder is while focusing: it needs a marked f-number, and magnification "
        "and pupils of the lens, or a set-up whose governing stop bears a mark.",
    ),
    Rewording(
        "ambient_share and flash_share are not determined without ambient_share: expose once without the flash, and divide "
        "the light of that frame by that of the frame with it.",
        "Left out of the result: ambient_share and flash_share. To calculate that, enter: ambient_share: expose once "
        "without the flash, and divide the light of that frame by that of the frame with it.",
    ),
    Rewording(
        "{names} are not determined without an allowed blur: give allowed_blur_um, allowed_blur_px, "
        "circle_of_confusion_mm or the sensor.",
        "Left out of the result: {names}. To calculate that, enter: an allowed blur: give allowed_blur_um, "
        "allowed_blur_px, circle_of_confusion_mm or the sensor.",
    ),
    Rewording(
        "tilt_deg and tilt_uncertainty_deg are not determined without perspective_distance_mm, from the entrance pupil to "
        "the subject. The cosine error of a tilt of up to {largest_deg} degrees is counted in the uncertainty instead: "
        "{share_of_tilt} %. Give largest_tilt_deg if you laid the ruler more exactly.",
        "Left out of the result: tilt_deg and tilt_uncertainty_deg. To calculate that, enter: perspective_distance_mm, "
        "from the entrance pupil to the subject. The cosine error of a tilt of up to {largest_deg} degrees is counted in "
        "the uncertainty instead: {share_of_tilt} %. Give largest_tilt_deg if you laid the ruler more exactly.",
    ),
    Rewording(
        "edge_width_um is not determined where the ruler does not lie: {names}. Lay it across them for more frames.",
        "Left out of the result: edge_width_um where the ruler does not lie: {names}. Lay it across them for more frames.",
    ),
    Rewording(
        "{names} are not determined from a grey photograph.",
        "Left out of the result: {names} from a grey photograph.",
    ),
    Rewording(
        "fall_off_stops is not determined: the ruler's ground is too uneven, or seen too little, to tell it.",
        "Left out of the result: fall_off_stops: the ruler's ground is too uneven, or seen too little, to tell it.",
    ),
    Rewording(
        "total_time_s is not determined without times: give those of {left_out} that apply.",
        "Left out of the result: total_time_s. To calculate that, enter: times: give those of {left_out} that apply.",
    ),
)


def put_remark_in_words(text: str, parts: Sequence[str] = ()) -> str:
    """Remark of an operation in words of the page; `parts` are the names of the parts of the set-up."""
    return write_in_words(reword(text), parts=parts)


def reword(text: str) -> str:
    """Remark that says what to enter in place of what is left open, still with names of members."""
    for each in REWORDINGS:
        places = recognize(text, each.source)
        if places is not None:
            named = {name: name_results(found) for name, found in places.items() if name in RESULTS}
            return tr(each.said, **{**places, **named}).strip()
    return text


def name_results(names: str) -> str:
    """Words for each of several results; what is no name of a member stays."""
    return ", ".join(label(name) if MEMBER.fullmatch(name) else name for name in names.split(", "))
