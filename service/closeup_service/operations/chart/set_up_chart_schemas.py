"""`/v1/charts/aperture` and `/v1/charts/magnification`: one member of a set-up varied along a curve."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from marshmallow import ValidationError, fields, post_load, types, validate, validates_schema

from closeup_service.language import mark, tr
from closeup_service.operations.chart.chart_schemas import EstimatedChartAnswer
from closeup_service.operations.set_up.evaluate.schemas import (
    OPEN_LENGTHS,
    POINTER_LENGTH,
    UNKNOWN_PATTERN,
    UNKNOWN_REFUSAL,
    SetUpRequest,
    pointer_field,
)
from closeup_service.operations.set_up.optimum_aperture.schemas import MOST_APERTURES, RingFields
from closeup_service.operations.set_up.table.schemas import NOT_IN_TABLES, OF_THE_DOCUMENT, held
from closeup_service.schemas.answers import CODE_PATTERN, OpenSchema
from closeup_service.schemas.drawn import DrawnFields
from closeup_service.schemas.fields import Loaded, RequestSchema, declared_fields, quantity, result, whole
from closeup_service.schemas.kit import kit_revision

if TYPE_CHECKING:
    from closeup_service.records import requests

MOST_POINTS = 200
RING_PATTERN = r"^/train/(0|[1-9][0-9]?)/f_number$"
BEST_BY = ("contrast", "closed-form")
WITH_F_NUMBER = ("lens", "kit-part")


Document = Mapping[str, Any]


class SetUpChartRequest(SetUpRequest, DrawnFields):
    """A set-up, one member of which varies."""

    class Meta(RequestSchema.Meta):
        """What a table leaves to the single set-up, a chart leaves to it too."""

        exclude = NOT_IN_TABLES

    loaded: ClassVar[Loaded] = {
        **dict.fromkeys(OF_THE_DOCUMENT),
        "document": "FrameSetUp",
        "given": "float | str | None",
    }

    def load(
        self,
        data: object,
        *,
        many: bool | None = None,
        partial: bool | types.StrSequenceOrSet | None = None,
        unknown: types.UnknownOption | None = None,
    ) -> dict[str, object]:
        """Hold the place of the member that varies, so that the set-up validates as a whole where it is left out."""
        if not isinstance(data, Mapping) or not isinstance(data.get("along"), str):
            return super().load(data, many=many, partial=partial, unknown=unknown) | {"given": None}
        members = held(data, [data["along"]]) if value_at(data, data["along"]) is None else data
        loaded = super().load(members, many=many, partial=partial, unknown=unknown)
        return loaded | {"given": value_at(data, data["along"])}

    @post_load
    def apart_from_the_chart(self, data: dict[str, object], **kwargs: object) -> dict[str, object]:
        """The set-up document as a table takes it, beside what is said of the chart."""
        del kwargs
        of_the_chart = {name: data[name] for name in data if name not in DOCUMENT or name == "kit"}
        return {"document": {name: data[name] for name in data if name not in of_the_chart}, **of_the_chart}

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def along_a_part(self, data: requests.MagnificationChartRequest, original: Document, **kwargs: object) -> None:
        """The member that varies belongs to a part that has such a member."""
        del kwargs
        if "along" not in data or not isinstance(original.get("train"), list):
            return
        _, index, member = data["along"].lstrip("/").split("/")
        element = dict(enumerate(original["train"])).get(int(index))
        kinds = WITH_F_NUMBER if member not in OPEN_LENGTHS else (OPEN_LENGTHS[member], "kit-part")
        if not isinstance(element, Mapping) or element.get("element") not in kinds:
            raise ValidationError(
                tr(
                    "There is no {kinds} at /train/{index} with a {member} to vary.",
                    kinds=kinds[0],
                    index=index,
                    member=member,
                ),
                "along",
            )


def value_at(document: Mapping[str, object], pointer: str) -> object:
    """Value that a pointer into the train leads to; None where there is none."""
    place: Any = document
    try:
        for step in pointer.lstrip("/").split("/"):
            place = place[int(step)] if isinstance(place, list) else place[step]
    except (TypeError, ValueError, KeyError, IndexError):
        return None
    return place


class ApertureChartRequest(SetUpChartRequest, RingFields):
    """A set-up, and the marks of the ring that is turned."""

    along = pointer_field(
        RING_PATTERN,
        mark("Give the JSON pointer of a lens's f_number, such as /train/0/f_number."),
        "JSON pointer of the f_number that is turned through the ring; assumed that of the part whose stop governs.",
    )


class MagnificationChartRequest(SetUpChartRequest):
    """A set-up, and the length that varies."""

    along = pointer_field(
        UNKNOWN_PATTERN,
        UNKNOWN_REFUSAL,
        "JSON pointer of the length that varies: a spacer's length_mm, or a lens's focusing_extension_mm. It may be left out "
        "of the train.",
        required=True,
    )
    minimum = quantity("length_mm", meaning="Least length of the chart; assumed the part's, or 0.")
    maximum = quantity(
        "length_mm",
        meaning="Greatest length of the chart; assumed the part's, or twice the length given, or 100 mm, or of focusing the "
        "focal length.",
    )
    points = whole("points")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def range_in_order(self, data: requests.MagnificationChartRequest, original: Document, **kwargs: object) -> None:
        """The least length is not above the greatest."""
        del original, kwargs
        if data.get("minimum", 0.0) > data.get("maximum", float("inf")):
            raise ValidationError(tr("The minimum is above the maximum."), "minimum")


def problem_field() -> fields.String:
    """What makes a row impossible."""
    return fields.String(
        required=True,
        allow_none=True,
        validate=[validate.Length(1, 64), validate.Regexp(CODE_PATTERN)],
        metadata={
            "description": "Code with which /v1/set-ups/evaluate would refuse this row; null where it is possible."
        },
    )


class ApertureChartRow(OpenSchema):
    """One mark of the ring; null where the set-up does not determine it, or cannot be."""

    nominal_f_number = result("nominal_f_number", nullable=False)
    f_number = result("f_number", meaning="Exact f-number that the engraved one stands for.", nullable=False)
    effective_f_number = result("effective_f_number")
    middle_contrast = result("middle_contrast", meaning="Contrast of the detail in focus.")
    end_contrast = result("end_contrast")
    ends_resolved = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={
            "description": "Whether the detail is still there at the ends: its contrast has not yet fallen to zero."
        },
    )
    total_mm = result("total_mm")
    subject_resolution_um = result("subject_resolution_um")
    problem = problem_field()


class ApertureChartAnswer(EstimatedChartAnswer):
    """What each mark of the ring gives, and the best of them for the subject's depth."""

    along = fields.String(
        required=True,
        validate=[POINTER_LENGTH, validate.Regexp(RING_PATTERN)],
        metadata={"description": "JSON pointer of the f_number that is turned through the ring."},
    )
    rows = fields.List(
        fields.Nested(ApertureChartRow),
        required=True,
        validate=validate.Length(1, MOST_APERTURES),
        metadata={"description": "One row a mark of the ring, the widest first."},
    )
    best_nominal_f_number = result(
        "nominal_f_number",
        meaning="Mark that is best for the subject's depth; null without one, or for a flat subject.",
    )
    best_by = fields.String(
        required=True,
        allow_none=True,
        validate=validate.OneOf((*BEST_BY, None)),
        metadata={
            "description": "Whether it leaves the detail the most contrast at the ends, or is the mark nearest to the closed "
            "form's, where no detail is given."
        },
    )
    optimum_f_number = result("optimum_f_number")
    kit_revision = kit_revision(required=False)


class MagnificationChartRow(OpenSchema):
    """One length; null where the set-up does not determine it, or cannot be."""

    length_mm = result("length_mm", meaning="Length of the member that varies.", nullable=False)
    magnification = result("magnification")
    working_distance_mm = result("working_distance_mm")
    problem = problem_field()


class MagnificationChartAnswer(EstimatedChartAnswer):
    """What each length gives."""

    along = fields.String(
        required=True,
        validate=[POINTER_LENGTH, validate.Regexp(UNKNOWN_PATTERN)],
        metadata={"description": "JSON pointer of the length that varies."},
    )
    rows = fields.List(
        fields.Nested(MagnificationChartRow),
        required=True,
        validate=validate.Length(1, MOST_POINTS),
        metadata={"description": "One row a length, the shortest first."},
    )
    kit_revision = kit_revision(required=False)


DOCUMENT = frozenset(declared_fields(SetUpRequest))
"""Members of a set-up document."""
