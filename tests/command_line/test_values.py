"""What people type for a number, and the number it becomes."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from closeup_client.command_line.operation import Field
from closeup_client.command_line.values import THOUSANDS, BadValue, number, scalar

MAGNIFICATION = Field("magnification", "number", "magnification")
F_NUMBER = Field("f_number", "number", "marked f-number")
LENGTH = Field("length_mm", "number", "length", unit="mm")
SHARE = Field("scale_error", "number", "error of the ruler")
REGISTER = Field("camera_register_mm", "number", "register", unit="mm")
PITCH = Field("pixel_pitch_um", "number", "pixel pitch", unit="um")
POWER = Field("power_dpt", "number", "power", unit="dpt")
TIME = Field("shutter_s", "number", "shutter", unit="s")

values = st.floats(1e-6, 1e6, allow_nan=False, allow_infinity=False)


@given(values, st.sampled_from([MAGNIFICATION, F_NUMBER, LENGTH, PITCH, POWER, TIME]))
def test_a_plain_number_reads_back_as_itself(value: float, field: Field) -> None:
    assert number(repr(value), field) == value
    assert number(f" {-value!r} ", field) == -value


@given(values)
def test_a_decimal_comma_reads_as_a_point(value: float) -> None:
    text = repr(value).replace(".", ",")
    assume(not THOUSANDS.fullmatch(text))
    assert number(text, LENGTH) == value


@given(values, st.sampled_from(["f/{}", "f{}", "F{}", "F/ {}", "1:{}"]))
def test_an_f_number_reads_as_engraved(value: float, form: str) -> None:
    assert number(form.format(repr(value)), F_NUMBER) == value


@given(values, st.sampled_from(["{}x", "x{}", "{}×", "{} x", "{}:1", "{}/1"]))
def test_a_magnification_reads_as_spoken(value: float, form: str) -> None:
    assert number(form.format(repr(value)), MAGNIFICATION) == value


@given(st.integers(1, 10_000), st.integers(1, 10_000), st.sampled_from(":/"))
def test_a_ratio_is_the_quotient(above: int, below: int, sign: str) -> None:
    assert number(f"{above}{sign}{below}", MAGNIFICATION) == above / below


@given(st.integers(1, 8000))
def test_a_shutter_speed_reads_as_a_fraction(below: int) -> None:
    assert number(f"1/{below}", TIME) == 1 / below


@given(st.integers(0, 10**6), st.sampled_from([("mm", 1000), ("cm", 100), ("m", 1), ("um", 10**6), ("µm", 10**6)]))
def test_lengths_of_the_same_size_read_the_same_in_every_unit(metres_e6: int, unit: tuple[str, int]) -> None:
    name, in_a_metre = unit
    assert number(f"{metres_e6 * in_a_metre}e-6{name}", LENGTH) == metres_e6 / 1000


def read_or_refused(text: str, field: Field) -> float | str:
    try:
        return number(text, field)
    except BadValue as error:
        return str(error)


@given(st.text(max_size=80) | st.text("0123456789.,:/xfe+-m ", max_size=20))
def test_any_text_is_either_a_finite_number_or_refused_in_words(text: str) -> None:
    for field in (MAGNIFICATION, F_NUMBER, LENGTH, TIME):
        read = read_or_refused(text, field)
        assert math.isfinite(read) if isinstance(read, float) else read


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("2:1", MAGNIFICATION, 2.0),
        ("1:4", MAGNIFICATION, 0.25),
        ("f/5,6", F_NUMBER, 5.6),
        ("1:2.8", F_NUMBER, 2.8),
        ("35mm", LENGTH, 35.0),
        ("3,5 cm", LENGTH, 35.0),
        ("−5", LENGTH, -5.0),
        (".5", LENGTH, 0.5),
        ("0,125", LENGTH, 0.125),
        ("1.5in", LENGTH, 38.1),
        ('0.5"', LENGTH, 12.7),
        ("1/2in", LENGTH, 12.7),
        ("1-1/2 in", LENGTH, 38.1),
        ('3/4"', LENGTH, 19.05),
        ("M42", REGISTER, 45.46),
        ("t2", REGISTER, 55.0),
        ("C-mount", REGISTER, 17.526),
        ("bayonet-44.0", REGISTER, 44.0),
        ("0,05%", SHARE, 0.0005),
        ("3.9µm", PITCH, 3.9),
        ("+2", POWER, 2.0),
        ("2D", POWER, 2.0),
        ("1/125", TIME, 0.008),
        ("4ms", TIME, 0.004),
    ],
)
def test_what_people_type_becomes_the_number_they_mean(text: str, field: Field, value: float) -> None:
    assert number(text, field) == value


@pytest.mark.parametrize(
    ("text", "field", "says"),
    [
        ("1,250", LENGTH, "write 1250 or 1.250"),
        ("1.234,5", LENGTH, "is not a number"),
        ("M39", REGISTER, r"M39x26tpi \(28.8 mm\) or .* M39x1 \(45.2 mm\)"),
        ("M4", REGISTER, "is not a number, and no mount"),
        ("M42", LENGTH, "is not a number"),
        ("1/0in", LENGTH, "divides by zero"),
        ("35nm", LENGTH, "it takes mm, not nm"),
        ("35mm", MAGNIFICATION, "without a unit, not mm; write 2, 2:1 or 2x"),
        ("2:1", LENGTH, "is not a number"),
        ("5/0", MAGNIFICATION, "divides by zero"),
        ("eight", F_NUMBER, "write 5.6 or f/5.6"),
        ("nan", LENGTH, "is not a number"),
        ("1e999", LENGTH, "too large"),
        ("1e99999999999999999999", LENGTH, "too large"),
        ("٣", LENGTH, "is not a number"),
        ("", LENGTH, "is not a number"),
        ("9" * 61, LENGTH, "too long"),
    ],
)
def test_what_is_no_number_or_could_be_two_is_refused(text: str, field: Field, says: str) -> None:
    with pytest.raises(BadValue, match=says):
        number(text, field)


def test_words_of_a_list_are_spelt_as_the_service_does() -> None:
    sensor = Field("sensor", "text", "sensor", choices=("36x24",))
    assert scalar("36X24", sensor) == scalar(" 36×24", sensor) == "36x24"
    assert scalar("unheard-of", sensor) == "unheard-of"


@pytest.mark.parametrize("text", ["full frame", "Full-Frame", "135 film format"])
def test_a_sensor_may_be_called_as_usual(text: str) -> None:
    assert scalar(text, Field("sensor", "text", "sensor", choices=("36x24",))) == "36x24"


def test_a_usual_name_of_two_sensors_is_refused_with_both() -> None:
    with pytest.raises(BadValue, match=r"23\.5x15\.6.*22\.3x14\.9"):
        scalar("APS-C", Field("sensor", "text", "sensor"))


@pytest.mark.parametrize("text", ["17,3x13", "17.3 × 13.0 mm", "17.30X13,00", "17.3x13mm"])
def test_a_size_reads_however_it_is_written(text: str) -> None:
    sensor = Field("sensor", "text", "sensor", choices=("36x24", "17.3x13.0"))
    assert scalar(text, sensor) == "17.3x13.0"


def test_yes_and_no_are_read_and_nothing_else() -> None:
    reversed_ = Field("reversed", "flag", "reversed")
    assert scalar("Yes", reversed_) is True
    assert scalar("no", reversed_) is False
    with pytest.raises(BadValue, match="neither yes nor no"):
        scalar("perhaps", reversed_)


def test_a_count_must_be_whole() -> None:
    count = Field("frames", "whole", "frames")
    assert scalar("12", count) == 12
    with pytest.raises(BadValue, match="not a whole number"):
        scalar("1.5", count)
