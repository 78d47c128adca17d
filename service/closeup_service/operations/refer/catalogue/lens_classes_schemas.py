"""Records of `/v1/catalogue/lens-classes`."""

from marshmallow import fields, validate

from closeup_service.operations.refer.catalogue.schemas import RecordSchema, measure_field, records_field
from closeup_service.schemas.answers import TEXT, OpenSchema
from closeup_service.schemas.fields import result

MOST_COUNT = 1_000_000
MOST_CLASSES = 10


def count_field(description: str) -> fields.Integer:
    """Number of records or patents."""
    return fields.Integer(
        required=True,
        validate=validate.Range(0, MOST_COUNT),
        metadata={"description": description, "format": "int32"},
    )


def text_field(description: str) -> fields.String:
    """Sentence of a record."""
    return fields.String(required=True, validate=TEXT, metadata={"description": description})


class BlendedClass(OpenSchema):
    """A class of statistics within a family, and over which focal lengths it blends with its neighbours."""

    id = fields.String(
        required=True,
        validate=(validate.Length(1, 64), validate.Regexp(r"^[a-z-]+$")),
        metadata={"description": "Name of the class."},
    )
    records = count_field("Records: designs, of zooms one at each setting.")
    patents = count_field("Patents that the records come from.")
    blends_in_from_mm = measure_field(
        "Focal length at which it begins to count; null where from the start.", nullable=True
    )
    blends_in_to_mm = measure_field(
        "Focal length from which it counts in full; null where from the start.", nullable=True
    )
    blends_out_from_mm = measure_field("Focal length to which it counts in full; null where to the end.", nullable=True)
    blends_out_to_mm = measure_field("Focal length from which it counts no more; null where to the end.", nullable=True)


class StatisticsOrigin(OpenSchema):
    """Where the statistics of all classes come from."""

    what = text_field("What they are.")
    method = text_field("How they were calculated.")
    date = fields.String(
        required=True,
        validate=(validate.Length(10, 10), validate.Regexp(r"^\d{4}-\d{2}-\d{2}$")),
        metadata={"description": "When.", "format": "date"},
    )
    records = count_field("Records of all classes together.")
    patents = count_field("Patents of all classes together.")
    records_held_back = count_field("Further records that were kept back for checking the ranges.")
    patents_held_back = count_field("Patents that those come from.")
    limits = text_field("What the statistics cannot tell.")


class LensClassRecord(RecordSchema):
    """Family of lenses whose unknown data can be estimated; its id is the value of lens_class."""

    register_mm = measure_field("Register that is assumed where none is given; 0 for lenses without a mount.")
    focal_length_from_mm = measure_field("Shortest focal length of which there are statistics.")
    focal_length_to_mm = measure_field("Longest focal length of which there are statistics.")
    usual_f_number = result(
        "widest_f_number", meaning="Widest f-number that is assumed where none is given.", nullable=False
    )
    taken_from_register_mm = measure_field(
        "Where no lens_class is named, lenses with this register or a longer one are taken to be of this family; null where "
        "the family has to be named.",
        nullable=True,
    )
    taken_below_register_mm = measure_field(
        "End of those registers, itself not of the family; null where there is none, or the family has to be named.",
        nullable=True,
    )
    zoom = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={
            "description": "Whether the lenses taken to be of this family are those that state zoom_from_mm and zoom_to_mm; "
            "null where both kinds are, or the family has to be named."
        },
    )
    classes = fields.List(
        fields.Nested(BlendedClass),
        required=True,
        validate=validate.Length(1, MOST_CLASSES),
        metadata={"description": "Its classes, by rising focal length."},
    )
    statistics = fields.Nested(StatisticsOrigin, required=True)


class LensClassesAnswer(OpenSchema):
    """All families of lenses."""

    records = records_field(LensClassRecord)
