"""The short form of trains and cameras: it reads what it writes, and points at the part at fault."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from closeup_client.command_line.operation import Field
from closeup_client.command_line.short_form.reading import BadWords, group_of, train_of
from closeup_client.command_line.short_form.writing import written_group, written_train
from closeup_client.command_line.table import table
from set_ups import one_lens_set_ups

PARTS = table().parts
CAMERA = next(f for operation in table().operations for f in operation.fields if f.name == "camera")
IDS = st.one_of(
    st.sampled_from(["reversed", "open", "50mm", "f8", "2x"]), st.from_regex(r"[a-z0-9][a-z0-9-]{0,63}", fullmatch=True)
)


def values_for(field: Field) -> st.SearchStrategy[Any]:
    if field.kind == "flag":
        return st.booleans()
    if field.kind == "text":
        return st.sampled_from(field.choices) if field.choices else IDS
    return st.floats(field.minimum, field.maximum, allow_nan=False)


def members_of(fields: tuple[Field, ...]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional={field.name: values_for(field) for field in fields})


@st.composite
def elements(draw: st.DrawFn) -> dict[str, Any]:
    kind = draw(st.sampled_from(sorted(PARTS)))
    members = draw(members_of(PARTS[kind].fields).filter(bool))
    return {"element": kind, **members}


@given(st.lists(elements(), min_size=1, max_size=5))
def test_any_train_with_any_members_reads_back_as_it_was_written(train: list[dict[str, Any]]) -> None:
    text = written_train(train, PARTS)
    assert list(train_of(text, PARTS).elements) == train, text


@given(one_lens_set_ups())
def test_a_set_up_with_every_datum_of_a_lens_reads_back(drawn: tuple[dict[str, Any], float]) -> None:
    document, _ = drawn
    assert list(train_of(written_train(document["train"], PARTS), PARTS).elements) == document["train"]


@given(members_of(CAMERA.fields))
def test_any_camera_reads_back_as_it_was_written(members: dict[str, Any]) -> None:
    assert group_of(written_group(members, CAMERA), CAMERA) == members


def fault_in(text: str) -> str | None:
    try:
        train_of(text, PARTS)
    except BadWords as error:
        return str(error)
    return None


@given(st.text(max_size=60))
def test_any_text_is_either_a_train_or_refused_with_its_part(text: str) -> None:
    fault = fault_in(text)
    assert fault is None or fault.startswith("part ")


@given(st.text("reversd35mf/8p=1.3 +?tubex", max_size=30))
def test_any_text_of_the_letters_of_the_short_form_is_either_a_train_or_refused_with_its_part(text: str) -> None:
    fault = fault_in(text)
    assert fault is None or fault.startswith("part ")


@pytest.mark.parametrize("kind", sorted(PARTS))
def test_every_member_of_every_part_goes_by_its_vocabulary_name(kind: str) -> None:
    for field in PARTS[kind].fields:
        written: dict[str, tuple[str, object]] = {"flag": ("yes", True), "text": ("some-id", "some-id")}
        value, meant = written.get(field.kind, (repr(field.maximum), field.maximum))
        for name in (field.name, field.name.replace("_", "-")):
            (element,) = train_of(f"{kind} {name}={value}", PARTS).elements
            assert element == {"element": kind, field.name: meant}


@pytest.mark.parametrize(
    ("text", "element"),
    [
        ("reversed 35mm f/8", {"element": "lens", "reversed": True, "focal_length_mm": 35.0, "f_number": 8.0}),
        ("normal lens 5cm f5.6", {"element": "lens", "reversed": False, "focal_length_mm": 50.0, "f_number": 5.6}),
        ("Reversed Lens 35 mm", {"element": "lens", "reversed": True, "focal_length_mm": 35.0}),
        ("tube 31 mm", {"element": "spacer", "length_mm": 31.0}),
        ("bellows 12,5cm clear=40", {"element": "spacer", "length_mm": 125.0, "clear_diameter_mm": 40.0}),
        ("close-up +2", {"element": "close-up-lens", "power_dpt": 2.0}),
        ("close-up 500mm", {"element": "close-up-lens", "focal_length_mm": 500.0}),
        ("converter x1.4 added=25", {"element": "teleconverter", "factor": 1.4, "added_length_mm": 25.0}),
        ("converter 2x focal=-40", {"element": "teleconverter", "factor": 2.0, "focal_length_mm": -40.0}),
        (
            "objective 5x/0.14 tube-lens=200 wd=34",
            {
                "element": "objective",
                "magnification": 5.0,
                "numerical_aperture": 0.14,
                "tube_lens_focal_length_mm": 200.0,
                "working_distance_mm": 34.0,
            },
        ),
        (
            "objective 4x NA=0.1 tube=160",
            {"element": "objective", "magnification": 4.0, "numerical_aperture": 0.1, "tube_length_mm": 160.0},
        ),
    ],
)
def test_parts_read_as_people_name_them(text: str, element: dict[str, Any]) -> None:
    assert train_of(text, PARTS).elements == (element,)


def test_a_plus_alone_parts_the_parts_and_one_before_a_number_does_not() -> None:
    train = train_of("close-up +2 + 50mm + tube +5", PARTS)
    assert [element["element"] for element in train.elements] == ["close-up-lens", "lens", "spacer"]
    assert train.elements[2]["length_mm"] == 5.0


@pytest.mark.parametrize(
    ("text", "pointer"),
    [
        ("35mm + tube ?", "/train/1/length_mm"),
        ("35mm + bellows open clear=40", "/train/1/length_mm"),
        ("35mm focusing=? + tube 3", "/train/0/focusing_extension_mm"),
    ],
)
def test_a_question_mark_leaves_a_length_open(text: str, pointer: str) -> None:
    train = train_of(text, PARTS)
    assert train.open == (pointer,)
    _, _, index, name = pointer.split("/")
    assert name not in train.elements[int(index)]
    assert train_of(written_train(train.elements, PARTS, pointer), PARTS).open == (pointer,)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("35mm + tub 31", r"part 2 \('tub 31'\): 'tub' says nothing of a lens; did you mean tube\?"),
        ("tube 31 plain=3", r"part 1 .*'plain=3' says nothing of a spacer; there are length=, clear="),
        ("lens 35mm f/8 plan=3", r"did you mean plane=\?"),
        ("35mm 50mm", r"part 1 .*: focal length is given twice"),
        ("35mm focusing=? focusing=3", r"focusing extension is given twice"),
        ("35mm p=1:0", r"part 1 .*: pupil magnification .*: 1:0 divides by zero"),
        ("objective 5x na=1mm", r"NA: it takes a number without a unit, not mm"),
        ("35mm f/8 tube 31", r"'tube' begins a part of its own: put a \+ before it"),
        ("35mm tube", r"'tube' begins a part of its own: put a \+ before it"),
        ("35mm +", r"part 2: nothing is said"),
        ("+ tube 31", r"part 1: nothing is said"),
        ("", r"part 1: nothing is said"),
        ("35mm f/8 + reversed tube 31", r"part 2 .*'reversed' says nothing of a spacer"),
        ("close-up 2", r"'2' says nothing of a close-up-lens"),
    ],
)
def test_a_fault_names_its_part_and_its_word(text: str, says: str) -> None:
    with pytest.raises(BadWords, match=says):
        train_of(text, PARTS)


@pytest.mark.parametrize(
    ("text", "members"),
    [
        ("register=M42 full frame", {"register_mm": 45.46, "sensor": "36x24"}),
        ("half-frame register=T2", {"register_mm": 55.0, "sensor": "24x18"}),
        ("register=44 sensor=full frame", {"register_mm": 44.0, "sensor": "36x24"}),
    ],
)
def test_a_camera_is_told_by_usual_names(text: str, members: dict[str, Any]) -> None:
    assert group_of(text, CAMERA) == members


@pytest.mark.parametrize(
    ("text", "element"),
    [
        (
            "reversed 2in f/8 pupil=1.2",
            {"focal_length_mm": 50.8, "pupil_magnification": 1.2, "f_number": 8, "reversed": True},
        ),
        ('tube 1/2"', {"length_mm": 12.7}),
        ("tube 0.5 in", {"length_mm": 12.7}),
        ("bellows 1-1/2in", {"length_mm": 38.1}),
    ],
)
def test_inches_and_the_pupil_ratio_are_read_as_people_write_them(text: str, element: dict[str, Any]) -> None:
    (found,) = train_of(text, PARTS).elements
    assert {name: value for name, value in found.items() if name != "element"} == pytest.approx(element)
