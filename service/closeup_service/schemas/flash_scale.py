"""The scale in which a flash head states its power."""

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, validates_schema

from closeup_service.advice.figures import decimal
from closeup_service.optics.flash_power import DIAL, FRACTION, JOULES, KINDS, STOPS_BELOW_FULL, Scale
from closeup_service.schemas.fields import RequestSchema, Text, quantity

BOUNDS = {
    FRACTION: (1e-6, 1.0, "a share of full power from 0.000001 to 1, such as 0.015625 for 1/64"),
    JOULES: (1e-6, 100000.0, "joules from 0.000001 to 100000"),
    STOPS_BELOW_FULL: (0.0, 30.0, "stops below full power from 0 to 30"),
    DIAL: (-1000.0, 1000.0, "a number of the dial from -1000 to 1000"),
}
ENDS = ("least", "greatest")
DIAL_NEEDS = ("least", "greatest", "unit_stops")


class FlashScaleSchema(RequestSchema):
    """The scale of the head's power setting, and its range; a dial needs all but the step."""

    kind = Text(
        KINDS,
        metadata={
            "description": "What the head shows: a fraction of full power (assumed), joules, stops below full, or a "
            "numbered dial."
        },
    )
    least = quantity("flash_power", meaning="Lower end of the head's range, as the scale counts.")
    greatest = quantity("flash_power", meaning="Upper end of the head's range, as the scale counts.")
    unit_stops = quantity("unit_stops")
    step_stops = quantity("step_stops")

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def ends_of_the_kind(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """Ends lie within what the kind can mean, and in order."""
        del kwargs
        if "kind" in original and "kind" not in data:
            return
        kind = data.get("kind", FRACTION)
        faults = {name: fault for name in ENDS if (fault := setting_fault(kind, data.get(name)))}
        if not faults and data.get("least", -1e9) >= data.get("greatest", 1e9):
            faults["least"] = "The lower end is not below the upper one."
        if faults:
            raise ValidationError({name: [text] for name, text in faults.items()})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def a_dial_as_a_whole(self, data: Mapping[str, Any], original: Mapping[str, Any], **kwargs: Any) -> None:
        """A dial means nothing without its range and its stops for each unit; other scales need none."""
        del kwargs
        if "kind" in original and "kind" not in data:
            return
        if data.get("kind") != DIAL:
            if "unit_stops" in original:
                raise ValidationError("Counts for a dial only: leave it out, or give kind dial.", "unit_stops")
            return
        faults = {
            name: ["Needed for a dial: see the head's instructions."] for name in DIAL_NEEDS if name not in original
        }
        if data.get("unit_stops") == 0:
            faults["unit_stops"] = ["A dial whose numbers change nothing cannot be set: give another number."]
        if faults:
            raise ValidationError(faults)


def setting_fault(kind: str, setting: float | None) -> str | None:
    """What is wrong with a setting of this kind of scale, if anything."""
    low, high, words = BOUNDS[kind]
    return None if setting is None or low <= setting <= high else f"Give {words}."


def scale_of(asked: Mapping[str, Any], assumed: dict[str, Any], pointer: str) -> Scale:
    """Scale that the request states, a fraction where it does not; clicks of a third for fractions and stops."""
    given = dict(asked)
    if "kind" not in given:
        given["kind"] = assumed[f"{pointer}/kind"] = FRACTION
    if "step_stops" not in given and given["kind"] in (FRACTION, STOPS_BELOW_FULL):
        given["step_stops"] = assumed[f"{pointer}/step_stops"] = 1 / 3
    return Scale(**given)


def power_fault(scale: Mapping[str, Any], setting: float) -> str | None:
    """What is wrong with a power on this scale, if anything; a scale that is itself at fault judges none."""
    kind = scale.get("kind", FRACTION)
    fault = setting_fault(kind, setting)
    if fault or not describes_a_head(scale, kind):
        return fault
    head = Scale(**{"kind": FRACTION, **scale})
    if not head.shortfall(head.stops(setting)):
        return None
    ends = [f"{name} {decimal(scale[name], 6)}" for name in ENDS if name in scale]
    return f"{decimal(setting, 6)} lies outside the head's range ({', '.join(ends)})."


def describes_a_head(scale: Mapping[str, Any], kind: str) -> bool:
    """Whether the scale is without fault: ends that its kind can mean, in order, and a dial as a whole."""
    ends = [scale[name] for name in ENDS if name in scale]
    if any(setting_fault(kind, end) for end in ends) or ends != sorted(set(ends)):
        return False
    return kind != DIAL or (all(scale.get(name) is not None for name in DIAL_NEEDS) and scale["unit_stops"] != 0)
