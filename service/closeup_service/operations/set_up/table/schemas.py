"""`/v1/set-ups/table`: one set-up whose members vary from row to row."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from copy import copy
from struct import error, pack
from typing import TYPE_CHECKING, Any, ClassVar, TypeAlias

import numpy as np
import numpy.typing as npt
from marshmallow import Schema, ValidationError, fields, post_load, validate, validates_schema

from closeup_service.language import later, tr
from closeup_service.operations.set_up.evaluate.schemas import MOST_ELEMENTS, CameraSchema, SetUpAnswer, SetUpRequest
from closeup_service.optics.arithmetic import FloatArray
from closeup_service.schemas.answers import AnswerSchema, OpenSchema
from closeup_service.schemas.estimated import EstimatedMembers
from closeup_service.schemas.fields import Id, Loaded, Number, RequestSchema, Text, declared_fields, unknown_member
from closeup_service.schemas.items import Items
from closeup_service.schemas.kit import kit_revision
from closeup_service.schemas.surroundings import SurroundingsFields
from closeup_service.schemas.train import ELEMENTS

if TYPE_CHECKING:
    from closeup_service.records import requests

MOST_ROWS = 10_000
MOST_COLUMNS = 64
MOST_FAULTS_SHOWN = 20
WHITE_ROWS = MOST_ROWS // 5
"""The contrast model goes through five wavelengths of white light for every row."""
OPTIMUM = "optimum_f_number"
"""Result for which every row is evaluated once more."""
MOST_SETTINGS = 100
"""Each lens's setting, or combination of settings, is a table of its own: so many in one request."""
NOT_IN_COLUMNS = (
    "depth_of_field.model",
    "solved",
    "exposure",
    "clear_opening",
    "uncertainty",
    "expanded_uncertainty",
    "kit_revision",
    "coverage",
    "estimated",
    "ranges",
    "measure_first",
    "assumed",
    "remarks",
    "cautions",
)
NOT_IN_TABLES = ("solve", "exposure", "clear_opening", *declared_fields(SurroundingsFields))
"""Members of a set-up that are left to the single one."""

OF_THE_DOCUMENT = tuple(name for name in declared_fields(SetUpRequest) if name != "kit")
"""Members of a set-up that are held together, as its document, apart from what is asked of it."""

SETTING = "setting"
AnyColumn: TypeAlias = npt.NDArray[np.float64 | np.bool_ | np.intp | np.str_]
"""Numbers, whether something holds, places in the train, or words, row by row."""
COLUMN_POINTER = re.compile(r"/(?:(?P<group>camera)/|train/(?P<index>0|[1-9][0-9]?)/)?(?P<name>[a-z0-9_]+)", re.ASCII)


def output_names(schema: type[Schema], before: str = "") -> Iterator[str]:
    """Dotted names of what an answer holds."""
    for name, field in declared_fields(schema).items():
        if before + name in NOT_IN_COLUMNS:
            continue
        nested = field.nested if isinstance(field, fields.Nested) else None
        if isinstance(nested, type) and issubclass(nested, Schema):
            yield from output_names(nested, f"{before}{name}.")
        else:
            yield before + name


FIELDS = tuple(output_names(SetUpAnswer))
"""What a table can tell of each row."""


class Columns(fields.Field[Any]):
    """Values of members of the set-up, row by row, by JSON pointer; which members there are the whole request knows."""

    def _deserialize(
        self, value: object, attr: str | None, data: Mapping[str, object] | None, **kwargs: object
    ) -> Mapping[str, object]:
        del attr, kwargs
        if not isinstance(value, Mapping) or not 1 <= len(value) <= MOST_COLUMNS:
            raise ValidationError(
                tr(
                    "Give an object of 1 to {most_columns} columns, each by its JSON pointer.",
                    most_columns=MOST_COLUMNS,
                )
            )
        columns: dict[str, AnyColumn] = {}
        faults: dict[str, object] = {}
        for pointer, values in value.items():
            try:
                field = member_at(data or {}, pointer)
                columns[pointer] = column(values, field) if isinstance(field, Number) else settings(values, field)
            except ValidationError as refusal:
                faults[pointer] = refusal.messages
        lengths = {len(values) for values in columns.values()}
        if not faults and len(lengths) > 1:
            text = tr(
                "Every column takes as many values; these have {lengths}.", lengths=", ".join(map(str, sorted(lengths)))
            )
            faults = {pointer: [text] for pointer in columns}
        if faults or (faults := too_many_settings(columns)):
            raise ValidationError(faults)
        return columns


def too_many_settings(columns: Mapping[str, AnyColumn]) -> dict[str, object]:
    """Refuse more settings, or combinations of them, than one request may hold."""
    varied = {pointer: values for pointer, values in columns.items() if values.dtype.kind == "U"}
    if len(set(zip(*(values.tolist() for values in varied.values()), strict=True))) <= MOST_SETTINGS:
        return {}
    text = tr(
        "At most {most_settings} different settings, or combinations of them, in one table: ask for the "
        "others in another.",
        most_settings=MOST_SETTINGS,
    )
    return {pointer: [text] for pointer in varied}


def settings(values: object, field: Id) -> AnyColumn:
    """Ids of settings as a column; every fault by its row."""
    if not isinstance(values, list) or not 1 <= len(values) <= MOST_ROWS:
        raise ValidationError(tr("Give a list of 1 to {most_rows} ids.", most_rows=MOST_ROWS))
    faults: dict[int, object] = {}
    taken: set[str] = set()
    for row, value in enumerate(values):
        if (isinstance(value, str) and value in taken) or len(faults) == MOST_FAULTS_SHOWN:
            continue
        try:
            taken.add(field.deserialize(value))
        except ValidationError as refusal:
            faults[row] = refusal.messages
    if faults:
        raise ValidationError(faults)
    return np.array(values, dtype=str)


def member_at(document: Mapping[str, object], pointer: str) -> Number | Id:
    """Field of the number, or of the lens's setting, that a pointer names in this document."""
    place = COLUMN_POINTER.fullmatch(pointer)
    schema = None if place is None else schema_at(document, place)
    if place is None or schema is None:
        raise ValidationError(tr("There is no such place in this set-up: give a pointer such as /train/0/f_number."))
    name = place["name"]
    field = schema.fields.get(name)
    if isinstance(field, Number) or (isinstance(field, Id) and name == SETTING):
        return field
    numbers = [name for name, field in schema.fields.items() if isinstance(field, Number) or name == SETTING]
    text = tr("Only numbers, and the setting of a lens of the kit, can stand in columns.")
    raise ValidationError(text if field is not None else unknown_member(name, numbers))


def schema_at(document: Mapping[str, object], place: re.Match[str]) -> Schema | None:
    """Schema of the object that a pointer leads into; None where there is none."""
    if place["group"] is not None:
        return CAMERA
    if place["index"] is None:
        return SET_UP
    train = document.get("train")
    index = int(place["index"])
    element = train[index] if isinstance(train, list) and index < len(train) else None
    kind = element.get("element") if isinstance(element, Mapping) else None
    return ELEMENTS.get(kind) if isinstance(kind, str) else None


def column(values: object, field: Number) -> FloatArray:
    """Numbers within the field's bounds as a column; every fault by its row."""
    if not isinstance(values, list) or not 1 <= len(values) <= MOST_ROWS:
        raise ValidationError(tr("Give a list of 1 to {most_rows} numbers.", most_rows=MOST_ROWS))
    low, high = bounds_of(field)
    numbers = plain_numbers(values)
    if numbers is None or not bool(((numbers >= low) & (numbers <= high)).all()):
        raise ValidationError(faults_of(values, low, high))
    return numbers


def plain_numbers(values: list[object]) -> FloatArray | None:
    """Numbers of a list; None where there is anything else, true and false included.

    `pack` takes numbers and flags alone, many times as quickly as numpy. A flag can only turn into 0 or 1, so no more than
    those rows are looked at.
    """
    try:
        numbers = np.frombuffer(pack(f"{len(values)}d", *values))
    except error:
        return None
    zeros_and_ones = np.flatnonzero((numbers == 0) | (numbers == 1))
    return None if any(isinstance(values[row], bool) for row in zeros_and_ones) else numbers


def faults_of(values: list[object], low: float, high: float) -> dict[int, list[str]]:
    """First faults of a column, by row."""
    faulty = (row for row, value in enumerate(values) if isinstance(value, bool) or not is_within(value, low, high))
    return {
        row: [tr("Give a number from {low:g} to {high:g}.", low=low, high=high)]
        for row, _ in zip(faulty, range(MOST_FAULTS_SHOWN), strict=False)
    }


def is_within(value: object, low: float, high: float) -> bool:
    """Whether a value is a number within bounds."""
    return isinstance(value, int | float) and low <= value <= high


def bounds_of(field: Number) -> tuple[float, float]:
    """Inclusive bounds of a field."""
    rule = next(rule for rule in field.validators if isinstance(rule, validate.Range))
    return rule.min, rule.max


def most_rows(data: requests.TableRequest) -> int:
    """Rows that a table may have by its model and light."""
    if data.get("depth_of_field_model") != "contrast":
        return MOST_ROWS
    most = WHITE_ROWS if data.get("light") == "white" else MOST_ROWS
    return most // 2 if OPTIMUM in data.get("fields", ()) else most


def is_of_allowed_size(data: Mapping[str, object]) -> bool:
    """Whether train and columns are as long as they may be: else no place is held, since the whole is refused."""
    columns, train = data.get("columns"), data.get("train")
    if not isinstance(columns, Mapping) or len(columns) > MOST_COLUMNS:
        return False
    return not isinstance(train, list) or len(train) <= MOST_ELEMENTS


def held(document: Mapping[str, object], pointers: Iterable[str]) -> dict[str, object]:
    """Document with an allowed value in every place that a pointer names rightly."""
    whole = dict(document)
    for pointer in pointers:
        try:
            field = member_at(document, pointer)
        except ValidationError:
            continue
        whole = with_member(whole, pointer, bounds_of(field)[0] if isinstance(field, Number) else SETTING)
    return whole


class TableRequest(SetUpRequest):
    """A set-up, the columns of its members that vary, and what is asked of every row."""

    class Meta(RequestSchema.Meta):
        """Nothing is solved in a table, and what varies not as a column is left to the single set-up."""

        exclude = NOT_IN_TABLES

    loaded: ClassVar[Loaded] = {**dict.fromkeys(OF_THE_DOCUMENT), "document": "FrameSetUp[Real]"}

    columns = Columns(required=True)
    fields = Items(  # type: ignore[assignment]  # the name is fixed; marshmallow lifts fields off the class
        Text(FIELDS),
        required=True,
        validate=validate.Length(1, len(FIELDS), error=later("Give 1 to {most} names.", most=len(FIELDS))),
        metadata={"description": "What is asked of every row, by the names of /v1/set-ups/evaluate's answer, dotted."},
    )

    def load(self, data: Any, **kwargs: Any) -> Any:
        """Hold the place of every column with an allowed value, so that the set-up validates as a whole."""
        if not isinstance(data, Mapping) or not is_of_allowed_size(data):
            return super().load(data, **kwargs)
        return super().load(held(data, data["columns"]), **kwargs)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_one_light_for_contrasts(
        self, data: requests.TableRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """The contrast sums take one light for the whole table."""
        del kwargs
        if "/wavelength_nm" in data.get("columns", {}) and original.get("depth_of_field_model") == "contrast":
            text = tr(
                "The contrast model takes one wavelength for the whole table: ask for one table for each.",
            )
            raise ValidationError({"columns": {"/wavelength_nm": [text]}})

    @validates_schema
    def require_affordable_rows(self, data: requests.TableRequest, **kwargs: object) -> None:
        """Dear rows are fewer."""
        del kwargs
        rows, most = len(next(iter(data["columns"].values()))), most_rows(data)
        if rows > most:
            text = tr(
                "By this model and in this light a table takes at most {most} rows; these are {rows}. Ask for fewer rows at "
                "once, leave out optimum_f_number, or use one wavelength or another model of the depth of field.",
                most=most,
                rows=rows,
            )
            raise ValidationError(text, "columns")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_each_field_once(
        self, data: requests.TableRequest, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A result is asked once."""
        del original, kwargs
        asked = data.get("fields", ())
        if len(set(asked)) < len(asked):
            raise ValidationError(tr("Give each name once."), "fields")

    @post_load
    def lay_in_the_columns(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """Put every column into its place."""
        del kwargs
        beside: dict[str, object] = {name: data[name] for name in ("columns", "fields", "kit") if name in data}
        document = {name: member for name, member in data.items() if name not in beside}
        columns = data["columns"]
        assert isinstance(columns, Mapping)
        for pointer, values in columns.items():
            document = with_member(document, pointer, values)
        return {"document": document, **beside}


def with_member(document: Mapping[str, object], pointer: str, value: object) -> dict[str, object]:
    """Document with one member put in its place; what it leads through is copied, not changed."""
    first, *rest = pointer[1:].split("/")
    if not rest:
        return {**document, first: value}
    if first == "camera":
        camera = document.get(first)
        return {**document, first: {**camera, rest[0]: value}} if isinstance(camera, Mapping) else {**document}
    whole = document[first]
    assert isinstance(whole, list)
    train = whole.copy()
    train[int(rest[0])] = {**train[int(rest[0])], rest[1]: value}
    return {**document, first: train}


class ResultColumns(fields.Field[Any]):
    """What was asked, row by row, by the names asked for."""


def end_column(meaning: str) -> fields.List[float]:
    """Field of the answer for one end of a range, row by row."""
    cell = Number(allow_none=True, metadata={"description": "End of one row.", "format": "double"})
    return fields.List(cell, required=True, validate=validate.Length(1, MOST_ROWS), metadata={"description": meaning})


class Problems(fields.Field[Any]):
    """Code of what makes each row impossible; null where it is possible."""


class RangeColumns(OpenSchema):
    """Ends between which a result lies with the coverage stated, row by row; null where a row's result has no range."""

    low = end_column("Lower ends, in the unit of the result.")
    high = end_column("Upper ends, in the unit of the result.")


class TableAnswer(AnswerSchema):
    """Results by columns; null where a row is impossible, or the set-up does not determine them."""

    rows = fields.Integer(
        required=True,
        validate=validate.Range(1, MOST_ROWS),
        metadata={"description": "How many rows there are.", "format": "int32"},
    )
    columns = ResultColumns(required=True)
    problem = Problems(required=True)
    coverage = copy(declared_fields(EstimatedMembers)["coverage"])
    estimated = copy(declared_fields(EstimatedMembers)["estimated"])
    measure_first = copy(declared_fields(EstimatedMembers)["measure_first"])
    ranges = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(RangeColumns),
        metadata={
            "description": "Range of each result that depends on estimated data, by its name, row by row; the result itself "
            "is the median. A result without a range does not depend on them."
        },
    )
    kit_revision = kit_revision(required=False)


CAMERA, SET_UP = CameraSchema(), SetUpRequest()
