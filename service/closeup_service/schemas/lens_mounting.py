"""How the one lens of a quantity is mounted."""

from closeup_service.schemas.fields import RequestSchema, Text

MOUNTINGS = ("normal", "reversed")


class MountingField(RequestSchema):
    """`mounting`, assumed normal."""

    mounting = Text(
        MOUNTINGS,
        metadata={"description": "Which way round the lens stands; assumed normal."},
    )
