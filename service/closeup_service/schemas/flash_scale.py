"""The scale in which a flash head states its power."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from marshmallow import ValidationError, validates_schema

from closeup_service.advice.figures import decimal
from closeup_service.language import mark, tr
from closeup_service.optics.flash_power import DIAL, FRACTION, JOULES, KINDS, STOPS_BELOW_FULL, Scale
from closeup_service.schemas.fields import RequestSchema, Text, quantity

if TYPE_CHECKING:
    from closeup_service.records import requests

BOUNDS = {
    FRACTION: (1e-6, 1.0, mark("a share of full power from 0.000001 to 1, such as 0.015625 for 1/64")),
    JOULES: (1e-6, 100000.0, mark("joules from 0.000001 to 100000")),
    STOPS_BELOW_FULL: (0.0, 30.0, mark("stops below full power from 0 to 30")),
    DIAL: (-1000.0, 1000.0, mark("a number of the dial from -1000 to 1000")),
}
Need = Literal["least", "greatest", "unit_stops"]
ENDS: tuple[Literal["least", "greatest"], ...] = ("least", "greatest")
DIAL_NEEDS: tuple[Need, ...] = (*ENDS, "unit_stops")


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
    def ends_of_the_kind(self, data: requests.FlashScale, original: Mapping[str, object], **kwargs: object) -> None:
        """Ends lie within what the kind can mean, and in order."""
        del kwargs
        if "kind" in original and "kind" not in data:
            return
        kind = data.get("kind", FRACTION)
        faults = {name: fault for name in ENDS if (fault := setting_fault(kind, data.get(name)))}
        if not faults and data.get("least", -1e9) >= data.get("greatest", 1e9):
            faults["least"] = tr("The lower end is not below the upper one.")
        if faults:
            raise ValidationError({name: [text] for name, text in faults.items()})

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def require_a_dial_as_a_whole(
        self, data: requests.FlashScale, original: Mapping[str, object], **kwargs: object
    ) -> None:
        """A dial means nothing without its range and its stops for each unit; other scales need none."""
        del kwargs
        if "kind" in original and "kind" not in data:
            return
        if data.get("kind") != DIAL:
            if "unit_stops" in original:
                raise ValidationError(tr("Counts for a dial only: leave it out, or give kind dial."), "unit_stops")
            return
        faults = {
            name: [tr("Needed for a dial: see the head's instructions.")] for name in DIAL_NEEDS if name not in original
        }
        if data.get("unit_stops") == 0:
            faults["unit_stops"] = [tr("A dial whose numbers change nothing cannot be set: give another number.")]
        if faults:
            raise ValidationError(faults)


def setting_fault(kind: str, setting: float | None) -> str | None:
    """What is wrong with a setting of this kind of scale, if anything."""
    low, high, words = BOUNDS[kind]
    return None if setting is None or low <= setting <= high else tr("Give {words}.", words=tr(words))


def scale_of(asked: requests.FlashScale, assumed: dict[str, float | str], pointer: str) -> Scale:
    """Scale that the request states, a fraction where it does not; clicks of a third for fractions and stops."""
    kind: str | None = asked.get("kind")
    step = asked.get("step_stops")
    if kind is None:
        kind = assumed[f"{pointer}/kind"] = FRACTION
    if step is None and kind in (FRACTION, STOPS_BELOW_FULL):
        step = assumed[f"{pointer}/step_stops"] = 1 / 3
    return scale_as_stated(asked, kind, step)


def scale_as_stated(asked: requests.FlashScale, kind: str, step_stops: float | None) -> Scale:
    """Scale of a kind and its clicks, with what else is stated of it."""
    return Scale(kind, asked.get("least"), asked.get("greatest"), asked.get("unit_stops", 1.0), step_stops)


def power_fault(scale: requests.FlashScale, setting: float) -> str | None:
    """What is wrong with a power on this scale, if anything; a scale that is itself at fault judges none."""
    kind = scale.get("kind", FRACTION)
    fault = setting_fault(kind, setting)
    if fault or not describes_a_head(scale, kind):
        return fault
    head = scale_as_stated(scale, kind, scale.get("step_stops"))
    if not head.shortfall(head.stops(setting)):
        return None
    ends = [f"{name} {decimal(scale[name], 6)}" for name in ENDS if name in scale]
    return tr("{setting} lies outside the head's range ({ends}).", setting=decimal(setting, 6), ends=", ".join(ends))


def describes_a_head(scale: requests.FlashScale, kind: str) -> bool:
    """Whether the scale is without fault: ends that its kind can mean, in order, and a dial as a whole."""
    ends = [scale[name] for name in ENDS if name in scale]
    if any(setting_fault(kind, end) for end in ends) or ends != sorted(set(ends)):
        return False
    return kind != DIAL or (all(scale.get(name) is not None for name in DIAL_NEEDS) and scale["unit_stops"] != 0)
