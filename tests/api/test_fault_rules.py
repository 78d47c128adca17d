"""Each rule for the words of a fault, by a form that the operations really refuse, in every language."""

import html
import json
import re
from collections.abc import Mapping
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

from closeup_service.language import ENGLISH, GERMAN, speaking
from closeup_service.pages import fault_words
from closeup_service.pages.fault_rules import RULES, Rule
from closeup_service.pages.recognizing import Places, Source, recognize
from closeup_service.translating.gathered import marked_texts

LENS = {
    "element": "lens",
    "focal_length_mm": 50,
    "f_number": 8,
    "front_principal_plane_mm": 27,
    "register_mm": 44,
    "pupil_magnification": 1,
}
UNMARKED = {name: value for name, value in LENS.items() if name != "f_number"}
TUBE = {"element": "spacer", "length_mm": 20}
FRAME = {"magnification": 1, "f_number": 8, "exposure_time_s": 0.01, "pupil_magnification": 1}
FOUND = {"unknown": "exposure_time_s", "reference": FRAME}
TYPED_LENS = {"register_mm": "44", "part1": "typed_lens", "part1_focal_length_mm": "50", "part1_register_mm": "44"}
ON_BELLOWS = {**TYPED_LENS, "part1_front_principal_plane_mm": "27", "part2": "typed_spacer"}
EXACT = {"estimate": "no"}
IN_WORDS = re.compile(r"[a-z]_[a-z]|[{}]|/v1|/train")
ENGLISH_WORDS = re.compile(
    r"\b(the|and|with|enter|choose|give|needed|without|from|this|that|which|cannot)\b", re.IGNORECASE
)
QUOTED = re.compile(r"„[^“]*“|“[^”]*”")


def document(*train: Mapping[str, object], **more: object) -> dict[str, str]:
    """Set-up document in the field for one."""
    return {"document": json.dumps({"camera": {"register_mm": 44, "sensor": "36x24"}, "train": train, **more})}


FORMS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "This member is required.": ("light", {"f_number": "8"}),
    "Needed, or the effective f-number in its place.": (
        "set-up",
        document(LENS, TUBE, exposure={"reference": {"magnification": 1}}),
    ),
    "Give the subject's width, its height, or both; or the magnification wanted.": (
        "find-set-up",
        {"camera": "field-camera"},
    ),
    "Give one of: {choices}.": ("light", {"magnification": "1", "f_number": "8", "mounting": "perhaps"}),
    "Give one of: {choices}. {beside}": ("fill-the-frame", {"subject_width_mm": "9", "sensor": "perhaps"}),
    "Give one of: {names}; or #rrggbb{beside}.": ("scale-bar", {"scale_px_per_mm": "9", "colour": "perhaps"}),
    "Give {words}.": ("light", {"magnification": "1", "before_magnification": "2", "before_flash_power": "0"}),
    "Give the blur you accept on the sensor, or the sensor to assume its diagonal / 1500.": (
        "focus-stack",
        {"subject_depth_mm": "1", "magnification": "1", "f_number": "8"},
    ),
    "Give the sensor by its id or by its width and height, not both.": (
        "fill-the-frame",
        {"subject_width_mm": "9", "sensor": "36x24", "sensor_width_mm": "30"},
    ),
    "The kit states it: leave it out.": (
        "set-up",
        {"part1": "wide-35", "part2": "tube-16", "camera": "field-camera", "register_mm": "44"},
    ),
    "The kit has no {what} {name}; {hint}.": ("find-set-up", {"magnification": "2", "camera": "perhaps"}),
    "There is no {what} {name}; {hint}": ("find-set-up", {"magnification": "2", "mount": "perhaps", "sensor": "36x24"}),
    "Needed: the two sensors are compared. Give it by its id, or its width and height.": (
        "another-sensor",
        {"magnification": "1", "f_number": "8", "sensor": "36x24"},
    ),
    "Counts for method {only} only: leave it out, or give that method.": (
        "focus-stack",
        {"subject_depth_mm": "1", "magnification": "1", "f_number": "8", "sensor": "36x24", "ring_moves": "lens"},
    ),
    "{part_id} goes from {least:g} to {greatest:g} mm.": (
        "set-up",
        {"part1": "wide-35", "part2": "table-bellows", "part2_length_mm": "999", "camera": "field-camera"},
    ),
    "The part goes from {least:g} to {greatest:g} mm.": (
        "set-up",
        document(
            {"element": "kit-part", "use": "wide-35"},
            {"element": "kit-part", "use": "table-bellows"},
            solve={"unknown": "/train/1/length_mm", "minimum": 1, "target": {"magnification": 2}},
        ),
    ),
    "A flat subject needs no depth: set the aperture at which the lens itself is sharpest, and see /v1/diffraction for what "
    "stopping down costs.": ("sharpness", {"magnification": "1", "sensor": "36x24", "subject_depth_mm": "0"}),
    "Given for the planned frame, so it counts: give that of the reference frame too.": (
        "light",
        {"magnification": "1", "before_magnification": "2", "before_flash_power": "1/4", "iso": "200"},
    ),
    "Needed: the new value is reckoned from that of the reference frame.": (
        "light",
        {"magnification": "1", "f_number": "8", "before_magnification": "2", "unknown": "exposure_time_s"},
    ),
    "The shutter does not change a flash's light: solve for another setting, or give light continuous.": (
        "light",
        {
            **{"magnification": "1", "f_number": "8", "before_magnification": "2", "unknown": "exposure_time_s"},
            **{"before_exposure_time_s": "1/60", "before_flash_power": "1/4"},
        },
    ),
    "Give the aperture (f_number or effective_f_number) or the distance of the flash: the other follows.": (
        "light",
        {"magnification": "1", "guide_number_m": "20"},
    ),
    "Give exactly one of: {names}.": (
        "my-lens",
        {"focal_length_mm": "50", "camera_register_mm": "44", "measured_extension_mm": "9"},
    ),
    "Enter exactly one of: {names}.": ("scale-bar", {"magnification": "2", "scale_px_per_mm": "9", "sensor": "36x24"}),
    "Give a number from {low} to {high}{unit}.": (
        "find-set-up",
        {"magnification": "2", "camera": "field-camera", "largest_light_loss_stops": "99"},
    ),
    "Needed where figure is effective_f_number.": (
        "my-lens",
        {"focal_length_mm": "28", "figure": "effective_f_number"},
    ),
    "The train holds no lens: add one.": (
        "set-up",
        {"part1": "typed_spacer", "part1_length_mm": "9", "register_mm": "44"},
    ),
    "The train is focused at infinity: the magnification is zero. Add extension.": (
        "set-up",
        {**TYPED_LENS, "part1_front_principal_plane_mm": "27"},
    ),
    "The magnification is not determined without {missing}. {hints}": (
        "set-up",
        {**TYPED_LENS, **EXACT, "part1_reversed": "yes", "part2": "typed_spacer", "part2_length_mm": "9"},
    ),
    "The aperture is not determined without {needs}.": ("set-up", document(UNMARKED, TUBE, exposure=FOUND)),
    "The working distance is not determined. {pointer}": (
        "set-up",
        {**TYPED_LENS, **EXACT, "part2": "typed_spacer", "target_working_distance_mm": "100"},
    ),
    "Needed with the viewing distance or acuity.": (
        "sharpness",
        {"magnification": "1", "f_number": "8", "sensor": "36x24", "viewing_distance_mm": "300"},
    ),
    "Needed for marks read at the edges: the sensor, used_width_mm, or pixel_pitch_um with image_width_px. Marks within the "
    "frame need their places or distance_px.": ("ruler", {"first_mark_mm": "0", "last_mark_mm": "20"}),
    "Needed to turn pixels into mm on the sensor: pixel_pitch_um, or the sensor's width with image_width_px.": (
        "ruler",
        {"first_mark_mm": "0", "last_mark_mm": "20", "distance_px": "4000"},
    ),
    "Give both places in full: {positions}; or distance_px alone.": (
        "ruler",
        {"first_mark_mm": "0", "last_mark_mm": "20", "pixel_pitch_um": "4", "first_mark_x_px": "9"},
    ),
    "Give the sensor, or its width and height, to find the magnification by {route}.": (
        "fill-the-frame",
        {"subject_width_mm": "9"},
    ),
    "register_mm less focal_length_mm puts the rear principal plane at {by_register:.6g} mm, rear_principal_plane_mm at "
    "{given:.6g} mm. Give one of the two.": (
        "set-up",
        {**TYPED_LENS, "part1_rear_principal_plane_mm": "9", "part2": "typed_spacer", "part2_length_mm": "9"},
    ),
    "No length from {least:g} to {greatest:g} mm gives {target} {wanted:.6g}: the nearest attainable is {reached:.6g}, at "
    "{at:.6g} mm. Beyond that: {refused}": (
        "set-up",
        {**ON_BELLOWS, "part1_front_principal_plane_mm": "60", "target_magnification": "30"},
    ),
    "No length from {least:g} to {greatest:g} mm gives {target} {wanted:.6g}: the nearest attainable is {reached:.6g}, at "
    "{at:.6g} mm.": ("set-up", {**ON_BELLOWS, "target_magnification": "1000"}),
    "Needed with {from_front}: it says where the front is. Or give distance_from_subject_mm.": (
        "clear-opening",
        {
            **{"magnification": "1", "f_number": "8", "focal_length_mm": "50", "sensor": "36x24", "distance_mm": "9"},
            **{"mounting": "reversed", **EXACT},
        },
    ),
    "Needed with source_diameter_mm: the one counts against the other.": (
        "set-up",
        document(LENS, TUBE, exposure={**FOUND, "reference": {**FRAME, "source_diameter_mm": 10}}),
    ),
    "Needed with {value}, which is weighed by it against the magnifications.": (
        "calibrate-a-lens",
        {
            **{"extension_1_mm": "9", "magnification_1": "1", "extension_2_mm": "20", "magnification_2": "1.3"},
            "working_distance_1_mm": "50",
        },
    ),
    "Needed with magnification: pixel_pitch_um, or the sensor or its used width.": (
        "scale-bar",
        {"magnification": "2"},
    ),
    "Needed with perspective_distance_mm: the depth over which the scale changes.": (
        "scale-bar",
        {"scale_px_per_mm": "100", "image_width_px": "4000", "perspective_distance_mm": "90"},
    ),
    "Needed with image_height_px: give the picture's size in full.": (
        "ruler",
        {"first_mark_mm": "0", "last_mark_mm": "20", "sensor": "36x24", "image_height_px": "4000"},
    ),
    "Needed with most_stack_frames.": (
        "find-set-up",
        {"magnification": "2", "camera": "field-camera", "most_stack_frames": "9"},
    ),
    "Needed with ambient_share: ambient light falls for that time.": (
        "movement",
        {"magnification": "2", "vibration_amplitude_um": "9", "flash_t05_s": "1/1000", "ambient_share": "10 %"},
    ),
    "Needed with subject_width_mm.": (
        "set-up",
        document(
            {"element": "lens", "focal_length_mm": 50, "measured": [{"extension_mm": 20, "subject_width_mm": 12}]},
            TUBE,
            estimate_unknown=True,
        ),
    ),
    "Needed with exit_pupil_diameter_mm: their ratio counts. Or measure wide open and give widest_f_number.": (
        "my-lens",
        {"focal_length_mm": "50", "exit_pupil_diameter_mm": "9"},
    ),
    "Needed with scatter_covariance: how well its scatter is known.": (
        "set-up",
        document(
            {
                **LENS,
                "uncertainty": {
                    "parameters": ["focal_length_mm"],
                    "covariance": [[1]],
                    "scatter_covariance": [[1]],
                },
            },
            TUBE,
        ),
    ),
    "Needed with crop_factor: the whole sensor, of which a part was used.": (
        "ruler",
        {"first_mark_mm": "0", "last_mark_mm": "20", "crop_factor": "1.5"},
    ),
    "Needed with the exposure's magnifications: which length changes for them.": (
        "set-up",
        document(LENS, TUBE, exposure={"magnifications": [1, 2]}),
    ),
    "Needed with method ring: the magnification changes by the travel over it.": (
        "focus-stack",
        {"method": "ring", "subject_depth_mm": "1", "magnification": "1", "f_number": "8", "sensor": "36x24"},
    ),
    "Needed with {name}: {reason}.": ("my-lens", {"focal_length_mm": "50", "zoom_from_mm": "35"}),
    "Needed for a lens mounted reversed: its front plane is measured from the sensor.": (
        "calibrate-a-lens",
        {"mounting": "reversed", "magnification_1": "1", "extension_1_mm": "9", "focal_length_mm": "50"},
    ),
    "Needed to solve for a subject width.": ("set-up", {**ON_BELLOWS, "target_subject_width_mm": "9"}),
    "Needed for a dial: see the head's instructions.": (
        "set-up",
        document(LENS, TUBE, exposure={"flash_scale": {"kind": "dial"}}),
    ),
    "Needed to find the blur on the sensor from the print.": (
        "sharpness",
        {"magnification": "1", "f_number": "8", "print_width_mm": "300"},
    ),
}
"""A form that is refused with a text of each source, or of the second rule for one by what that says."""
RULE_OF_SOURCE = [pytest.param(rule, source, id=source[:60]) for rule in RULES for source in rule.sources]


@pytest.fixture
def refused(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Texts that the operations refused a form with."""
    found: set[str] = set()

    def note(text: str, source: Source) -> Places | None:
        found.add(text)
        return recognize(text, source)

    monkeypatch.setattr(fault_words, "recognize", note)
    return found


def faults_of(page: str) -> list[str]:
    """Faults of a page beside its fields."""
    told = re.findall(r'<p class="fault"[^>]*>(?:<strong>.*?</strong> )?(.*?)</p>', page, re.DOTALL)
    return [html.unescape(re.sub(r"<[^>]+>", "", each)) for each in told]


def ends_of_names(text: str) -> list[int]:
    """Where a fault may begin: at once, or behind the name of what has no field of its own."""
    return [0, *(found.end() for found in re.finditer(": ", text))]


@pytest.mark.parametrize("language", [ENGLISH, GERMAN])
@pytest.mark.parametrize(("rule", "source"), RULE_OF_SOURCE)
def test_a_fault_is_said_as_its_rule_says(
    api: FlaskClient, refused: set[str], rule: Rule, source: str, language: str
) -> None:
    slug, typed = FORMS.get(rule.said) or FORMS[source]
    page = api.get(f"/{language}/tasks/{slug}?{urlencode(typed)}", follow_redirects=True).text
    shown = faults_of(page)
    with speaking(language):
        assert any(recognize(text, source) is not None for text in refused), refused
        assert any(recognize(text[at:], rule.said) is not None for text in shown for at in ends_of_names(text)), shown
    for text in shown:
        assert not IN_WORDS.search(QUOTED.sub("", text)), text
        assert language == ENGLISH or not ENGLISH_WORDS.search(QUOTED.sub("", text)), text


def test_every_source_is_a_text_of_the_operations() -> None:
    known = {form for text, _ in marked_texts() for form in (text if isinstance(text, tuple) else (text,))}
    for rule in RULES:
        assert set(rule.sources) <= known


def test_what_no_rule_knows_is_said_as_it_is(api: FlaskClient) -> None:
    page = api.get("/de/tasks/light?magnification=2&f_number=8&focal_length_mm=1e9").text
    assert "Eine Zahl von" in " ".join(faults_of(page))
