"""The answer of a set-up with lenses that are known only in part: medians over all lenses that they may be, with ranges."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, TypeAlias, cast

import numpy as np
from msgspec import Struct

from closeup_service.advice import estimate_remarks
from closeup_service.advice.remark import Remark
from closeup_service.estimates.joint import FEW_DRAWS
from closeup_service.estimates.ranges import COVERAGE, SAME, Range
from closeup_service.operations.estimating import telling
from closeup_service.operations.estimating.figures import MOST_MISSING, list_figures, put_figures, ranges_of_answers
from closeup_service.operations.estimating.places import list_train
from closeup_service.operations.estimating.set_up import Estimated, estimate_set_up, put_medians
from closeup_service.operations.set_up.depth_of_field.depth import UNDETERMINED, UNLIMITED
from closeup_service.optics.errors import OpticsError
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN
from closeup_service.set_ups.solve import Target

if TYPE_CHECKING:
    from closeup_service.records import answers, requests

    AnswerPlain: TypeAlias = Callable[[requests.SetUpRequest], answers.SetUpAnswer]

OF_LIGHT = ("exposure", "clear_opening")
"""What may be asked of a set-up beside itself: calculated lens by lens, since no column holds it."""


class Central(Struct, frozen=True):
    """Document with the data of a lens in the middle, and its answer."""

    document: requests.SetUpRequest
    answer: answers.SetUpAnswer


class Evaluation(Struct, frozen=True):
    """Answer of a set-up, and one set-up that can be drawn: a lens in the middle where lenses are estimated, else itself."""

    answer: answers.SetUpAnswer
    central: Central
    notes: Sequence[Remark] = ()
    """What is said of the estimates; nothing where nothing is estimated."""
    untold: Sequence[str] = ()
    """Figures that are not told, since their ranges say too little."""


def estimates(asked: requests.SetUpRequest) -> bool:
    """Whether lenses of a set-up without parts of a kit are to be estimated, and any lacks data."""
    return asked.get(ESTIMATE_UNKNOWN) is True and any(True for _ in list_train(asked))


def evaluate_estimated(asked: requests.SetUpRequest, answer_plain: AnswerPlain) -> Evaluation:
    """Evaluate a set-up for every lens that its own may be.

    Raises
    ------
    OpticsError
        Where the set-up cannot be with any of them.
    """
    return tell_estimated(asked, estimate_of(asked), answer_plain)


def tell_estimated(asked: requests.SetUpRequest, estimated: Estimated, answer_plain: AnswerPlain) -> Evaluation:
    """Tell a set-up that was evaluated for every lens that its own may be.

    Raises
    ------
    OpticsError
        Where the set-up cannot be with any of them.
    """
    central = find_central(asked, estimated, answer_plain)
    ranges = estimated.ranges() | ranges_of_light(asked, central.answer, answer_plain)
    share = estimated.impossible_share
    lenses = [place.lens for place in estimated.places]
    untold = telling.untold_figures(ranges, lenses, impossible=share > MOST_MISSING)
    untold += [name for name in estimated.find_scattered() if name not in untold]
    notes = telling.remarks_on(lenses, estimated.joint, untold)
    if SAME < share <= MOST_MISSING:
        notes.append(estimate_remarks.partial_refusal(share, ""))
    untold = leave_out_light(untold + [name for name in OF_LIGHT if name in central.answer and share > MOST_MISSING])
    ranges = {name: each for name, each in ranges.items() if name.partition(".")[0] not in untold}
    figures: dict[str, float | None] = {name: each.value for name, each in ranges.items()}
    middle: answers.SetUpAnswer = central.answer
    told: answers.SetUpAnswer = cast("answers.SetUpAnswer", put_figures(middle, figures | dict.fromkeys(untold)))
    for name in set(OF_LIGHT).intersection(untold):
        del told[name]  # type: ignore[misc]  # both may be left out
    told["depth_of_field"] = with_extents(told["depth_of_field"])
    told["remarks"] = [*notes, *middle["remarks"]]
    told["assumed"] = {**middle["assumed"], **assumed_registers(estimated)}
    whole = {name for name, value in list_figures(central.answer) if isinstance(value, int)}
    told["coverage"] = COVERAGE
    told["measure_first"] = untold
    told["estimated"] = telling.tell_data(estimated.places, estimated.joint)
    told["ranges"] = telling.told_ranges(ranges, untold, whole.__contains__)
    return Evaluation(told, central, notes, untold)


def leave_out_light(untold: Sequence[str]) -> list[str]:
    """Figures that are not told; of what was asked of the light the whole, which none of its figures would explain."""
    return list(dict.fromkeys(first if (first := name.partition(".")[0]) in OF_LIGHT else name for name in untold))


def with_extents(depth: answers.Depth) -> answers.Depth:
    """Depth of which what is not told is undetermined."""
    front, rear = depth["front_depth_mm"], depth["rear_depth_mm"]
    return {
        **depth,
        "front_extent": depth["front_extent"]
        if front is not None or depth["front_extent"] == UNLIMITED
        else UNDETERMINED,
        "rear_extent": depth["rear_extent"] if rear is not None or depth["rear_extent"] == UNLIMITED else UNDETERMINED,
    }


def without_flag(asked: requests.SetUpRequest) -> requests.SetUpRequest:
    """Request as if nothing were to be estimated."""
    return cast("requests.SetUpRequest", {name: value for name, value in asked.items() if name != ESTIMATE_UNKNOWN})


def estimate_of(asked: requests.SetUpRequest, most: int | None = None) -> Estimated:
    """Evaluate what is asked for all lenses that its own may be."""
    return estimate_set_up(asked, Target.from_request(asked["solve"]) if "solve" in asked else None, most)


def assumed_registers(estimated: Estimated) -> Mapping[str, float]:
    """Registers that are assumed, by pointer."""
    return {pointer: value for place in estimated.places for pointer, value in place.assumed.items()}


def find_central(asked: requests.SetUpRequest, estimated: Estimated, answer_plain: AnswerPlain) -> Central:
    """Evaluate with the medians of all data; where that cannot be, with the possible lens nearest to it."""
    refused: OpticsError | None = None
    for document in middle_documents(asked, estimated):
        try:
            return Central(document, answer_plain(document))
        except OpticsError as error:
            refused = refused or error
    assert refused is not None
    raise refused


MOST_TRIED = 4
"""So many lenses near the middle are tried before the set-up is refused."""


def middle_documents(asked: requests.SetUpRequest, estimated: Estimated) -> Sequence[requests.SetUpRequest]:
    """Documents of lenses in the middle: that of the medians, then possible ones, nearest first by magnification."""
    known = without_flag(asked)
    median = cast("requests.SetUpRequest", put_medians(known, estimated.places, estimated.joint))
    magnification = np.where(estimated.possible, estimated.result(telling.MAGNIFICATION), np.nan)
    if not estimated.possible.any():
        return [median]
    off = np.abs(magnification - np.nanmedian(magnification))
    nearest = np.argsort(off)[:MOST_TRIED]
    return [median, *(member_document(known, estimated, int(index)) for index in nearest)]


def member_document(known: requests.SetUpRequest, estimated: Estimated, index: int) -> requests.SetUpRequest:
    """Document with the data of one of the lenses; an open length stays open."""
    train = list(known["train"])
    for place in estimated.places:
        step = cast(int, place.path[-1])
        train[step] = estimated.element(step, index, train[step])
    return {**known, "train": train}


def ranges_of_light(
    asked: requests.SetUpRequest, central: answers.SetUpAnswer, answer_plain: AnswerPlain
) -> dict[str, Range]:
    """Ranges of what was asked of the light, over as many lenses as may be gone through one by one."""
    wanted = [name for name in OF_LIGHT if name in central]
    if not wanted:
        return {}
    estimated = estimate_of(asked, FEW_DRAWS)
    known = without_flag(asked)
    found, kept = [], []
    for index in np.flatnonzero(estimated.possible).tolist():
        try:
            answer = answer_plain(member_document(known, estimated, index))
        except OpticsError:
            continue
        found.append(part_of(answer, wanted))
        kept.append(index)
    return ranges_of_answers(part_of(central, wanted), found, estimated.joint.weights[kept])


def part_of(answer: answers.SetUpAnswer, names: Sequence[str]) -> dict[str, object]:
    """Some members of an answer."""
    return {name: value for name, value in answer.items() if name in names}
