"""Answers of operations on one lens that is known only in part: the operation's own answer, for every lens that it may be.

Each figure is the median over those answers, with its range; words, remarks and cautions are those of a lens in the middle. The
cost is bounded: an operation is asked once for every member, at most `Operation.most_members` times.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, cast

from marshmallow import fields
from msgspec import Struct

from closeup_service.advice import estimate_remarks
from closeup_service.advice.remark import Remark
from closeup_service.estimates.joint import Joint
from closeup_service.estimates.lens_members import read_known_lens
from closeup_service.estimates.ranges import SAME, Range
from closeup_service.gear.kit_parts import expand, uses_kit
from closeup_service.operations.asking import effort
from closeup_service.operations.estimating import telling
from closeup_service.operations.estimating.figures import MOST_MISSING, list_figures, put_figures, ranges_of_answers
from closeup_service.operations.estimating.places import (
    FOCAL_LENGTH,
    Members,
    Place,
    draw_places,
    list_one_lens,
    list_train,
    put,
)
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.optics.errors import NoRealSubject, OpticsError
from closeup_service.schemas.known_lens import ESTIMATE_UNKNOWN, EstimatedLensFields
from closeup_service.schemas.worked_steps import SHOW_STEPS, STEPS, members_of

if TYPE_CHECKING:
    from closeup_service.operations.operation import Operation
    from closeup_service.records import answers, requests

REGISTER = "lens_register_mm"
FRAMES = ("reference", "planned")
SET_UPS = ("reference_set_up", "planned_set_up")
"""Objects of a request that state a lens, and that are whole set-ups."""


class Central(Struct, frozen=True):
    """Request with the data of a lens in the middle, and its answer."""

    request: Members
    answer: Mapping[str, object]


class Answers(Struct, frozen=True):
    """Answers of the members that have one, their weights, and why the others have none."""

    found: Sequence[Mapping[str, object]]
    weights: FloatArray
    refused_share: float
    refusal: OpticsError | None


def answer_with_ranges(operation: Operation, members: Members) -> Mapping[str, object]:
    """Answer with medians and ranges; steps are those of a lens in the middle.

    Raises
    ------
    OpticsError
        Where no lens of the class could be used so.
    """
    asked = write_out({name: value for name, value in members.items() if name not in (ESTIMATE_UNKNOWN, SHOW_STEPS)})
    places = list(list_places(operation, asked))
    if places:
        joint = draw_places(places, operation.most_members)
        filled = [with_data(asked, places, row) for row in rows_of(places, joint)]
        found = ask_all(operation, filled, joint.weights)
        central = find_central(operation, asked, places, joint, found)
        answer = tell_answer(operation, places, joint, found, central)
        answer = answer if operation.words is None else {**answer, **operation.words(answer)}
    else:
        assumed = assume_register(operation, asked)
        central = Central({**asked, **assumed}, operation.answer({**asked, **assumed}))
        answer = without_estimate(asked, central.answer, assumed)
    if operation.steps is None or not members.get(SHOW_STEPS):
        return answer
    return note_on_steps({**answer, STEPS: members_of(operation.steps(central.request, central.answer))})


def note_on_steps(answer: Mapping[str, object]) -> Mapping[str, object]:
    """Answer that says of which lens its steps are, where it has both steps and ranges."""
    if STEPS not in answer or "ranges" not in answer:
        return answer
    return {**answer, **with_note(answer, estimate_remarks.steps_of_middle_lens())}


def with_note(answer: Mapping[str, object], note: Remark) -> dict[str, object]:
    """Remarks of an answer, and one more."""
    told: answers.Answer = cast("answers.Answer", answer)
    return {"remarks": [*told["remarks"], note]}


def write_out(asked: Members) -> Members:
    """Write set-ups of a request without parts of the kit where a lens of them lacks data."""
    written = dict(asked)
    given: requests.SetUpRequest = cast("requests.SetUpRequest", asked)
    for name in SET_UPS:
        document = cast("requests.FrameSetUp | None", asked.get(name))
        if document is not None and uses_kit(document):
            plain = expand(document, given["kit"], estimating=True)
            if any(True for _ in list_train(plain)):
                written[name] = plain
    return written


def list_places(operation: Operation, asked: Members) -> Iterator[Place]:
    """Everything in a request that lacks data of a lens."""
    assert operation.request_schema is not None
    yield from list_one_lens(asked, tuple(operation.request_schema.fields), FRAMES)
    for name in SET_UPS:
        document = cast("requests.FrameSetUp | None", asked.get(name))
        if document is not None and not uses_kit(document):
            yield from list_train(document, (name,))


def assume_register(operation: Operation, asked: Members) -> Mapping[str, float]:
    """Register that is assumed of a reversed lens of which nothing else is missing."""
    schema = cast(EstimatedLensFields, operation.request_schema)
    if FOCAL_LENGTH not in asked or asked.get("mounting") != "reversed" or REGISTER in asked:
        return {}
    if not schema.needs_register(asked):
        return {}
    lens = read_known_lens(cast("requests.EstimatedLensFields", asked), cast(float, asked[FOCAL_LENGTH]), None, {})
    return {REGISTER: lens.flange_mm}


def without_estimate(
    asked: Members, answer: Mapping[str, object], assumed: Mapping[str, float]
) -> Mapping[str, object]:
    """Answer in which nothing was estimated but perhaps a register: all else is known, or the focal length is not."""
    if assumed:
        return {**answer, "assumed": {**cast("Mapping[str, object]", answer["assumed"]), **assumed}}
    if FOCAL_LENGTH in asked or any(name in asked for name in SET_UPS):
        return answer
    return {**answer, **with_note(answer, estimate_remarks.missing_focal_length())}


def rows_of(places: Sequence[Place], joint: Joint) -> Iterator[Sequence[Mapping[str, float]]]:
    """Data of every place, member by member."""
    tables = []
    for place in places:
        columns = {name: column.tolist() for name, column in place.data(joint).items()}
        tables.append([dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)])
    return zip(*tables, strict=True)


def with_data(asked: Members, places: Sequence[Place], data: Sequence[Mapping[str, float]]) -> Members:
    """Request with the data of one possible lens in every place."""
    filled: object = asked
    for place, each in zip(places, data, strict=True):
        filled = put(filled, place.path, {**place.lens_data, **each})
    return cast(Members, filled)


def ask_all(operation: Operation, filled: Sequence[Members], weights: FloatArray) -> Answers:
    """Ask the operation for every member."""
    found, possible, refusal = [], [], None
    for index, request in enumerate(filled):
        effort.go_on()
        try:
            found.append(operation.answer(request))
            possible.append(index)
        except OpticsError as error:
            refusal = error
    kept = weights[possible]
    return Answers(found, kept, float(1 - kept.sum()), refusal)


def find_central(
    operation: Operation, asked: Members, places: Sequence[Place], joint: Joint, all_answers: Answers
) -> Central:
    """Ask for the lens of the medians of all data; where that cannot be, for the possible member nearest to it."""
    middle = [place.medians(joint) for place in places]
    request = with_data(asked, places, middle)
    try:
        return Central(request, operation.answer(request))
    except OpticsError:
        if not all_answers.found:
            raise
    rows = list(rows_of(places, joint))
    for _, row in sorted(((distance(row, middle), index) for index, row in enumerate(rows))):
        request = with_data(asked, places, rows[row])
        try:
            return Central(request, operation.answer(request))
        except OpticsError:
            continue
    raise AssertionError("a member that was possible no longer is")


def distance(row: Sequence[Mapping[str, float]], middle: Sequence[Mapping[str, float]]) -> float:
    """How far data lie from the medians, in shares of them."""
    return sum(
        abs(each[name] / median[name] - 1) if median[name] else abs(each[name])
        for each, median in zip(row, middle, strict=True)
        for name in median
    )


def tell_answer(
    operation: Operation, places: Sequence[Place], joint: Joint, all_answers: Answers, central: Central
) -> Mapping[str, object]:
    """Answer with medians in place of its figures, their ranges, and what is worth knowing of them."""
    ranges = ranges_of_answers(central.answer, all_answers.found, all_answers.weights)
    without_image = isinstance(all_answers.refusal, NoRealSubject) and all_answers.refused_share > MOST_MISSING
    decisive = without_image and telling.MAGNIFICATION in central.answer
    lenses = [place.lens for place in places]
    untold = telling.untold_figures(ranges, lenses, impossible=decisive)
    left_open = [name for name in untold if may_be_null(operation, name)]
    whole = {name for name, value in list_figures(central.answer) if isinstance(value, int)}
    notes = telling.remarks_on(lenses, joint, left_open)
    if all_answers.refusal is not None and all_answers.refused_share > SAME and not decisive:
        notes.append(estimate_remarks.partial_refusal(all_answers.refused_share, str(all_answers.refusal)))
    return with_members(central.answer, places, ranges, left_open, notes) | telling.tell(
        telling.tell_data(places, joint), telling.told_ranges(ranges, left_open, whole.__contains__), left_open
    )


def with_members(
    answer: Mapping[str, object],
    places: Sequence[Place],
    ranges: Mapping[str, Range],
    left_open: Sequence[str],
    notes: Sequence[Remark],
) -> dict[str, object]:
    """Answer with its figures, what was assumed and the remarks put in; `left_open` names the figures that are null."""
    figures: dict[str, float | None] = {name: each.value for name, each in ranges.items()}
    told = cast("dict[str, object]", put_figures(answer, figures | dict.fromkeys(left_open)))
    assumed = {name: value for place in places for name, value in place.assumed.items()}
    before: answers.Answer = cast("answers.Answer", answer)
    return {**told, "assumed": {**before["assumed"], **assumed}, "remarks": [*notes, *before["remarks"]]}


def may_be_null(operation: Operation, name: str) -> bool:
    """Whether a figure of the answer may be null."""
    schema: object = operation.answer_schema
    field: fields.Field[object] | None = None
    for step in name.split("."):
        if step.isdecimal():
            assert isinstance(field, fields.List)
            field = field.inner
        else:
            known = getattr(schema, "fields", {})
            field = known.get(step)
        schema = getattr(field, "schema", None)
    return field is not None and field.allow_none
