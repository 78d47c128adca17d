"""A rule of a schema that concerns some members is asked only where one of them is given."""

from collections.abc import Mapping

import pytest
from marshmallow import ValidationError, validates_schema

from closeup_service.schemas.fields import RequestSchema, quantity
from closeup_service.schemas.quick_acceptance import concerning


class Pair(RequestSchema):
    """Two numbers, one of which wants the other."""

    f_number = quantity("f_number")
    magnification = quantity("magnification")
    asked = 0

    @concerning("magnification")
    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_both(self, data: Mapping[str, object], original: Mapping[str, object], **kwargs: object) -> None:
        """The one wants the other."""
        del data, kwargs
        self.asked += 1
        if "f_number" not in original:
            raise ValidationError("Needed.", "f_number")


def test_a_rule_is_not_asked_where_none_of_its_members_is_given() -> None:
    schema = Pair()
    assert schema.load({"f_number": 8}) == {"f_number": 8}
    assert schema.load({}) == {}
    assert schema.asked == 0


def test_a_rule_is_asked_where_one_of_its_members_is_given_even_wrongly() -> None:
    schema = Pair()
    assert schema.load({"f_number": 8, "magnification": 2}) == {"f_number": 8, "magnification": 2}
    for wrong in ({"magnification": 2}, {"magnification": "two"}):
        with pytest.raises(ValidationError) as refused:
            schema.load(wrong)
        assert refused.value.messages_dict["f_number"] == ["Needed."]
    assert schema.asked == 3
