"""What task pages say: quantities, choices, settings and marks in words, and no member by its code."""

import re

from flask.testing import FlaskClient

from closeup_service.schemas.describing import write_in_words
from page_reading import DRAWN, EXAMPLES, RULER, example_address, read

FILL = "/tasks/fill-the-frame"


def test_texts_name_quantities_in_words(api: FlaskClient) -> None:
    page = read(api, f"{FILL}?extension=3")
    assert "subject_width_mm" not in page.shown
    result = read(api, f"{RULER}?first_mark_mm=0&last_mark_mm=20&distance_px=4800&pixel_pitch_um=3.9").shown
    assert "subject width" in result
    assert "subject_width_mm" not in result.partition("Keep this result")[0]


def test_choices_are_in_words(api: FlaskClient) -> None:
    page = read(api, "/tasks/light?f_number=8&magnification=3&unknown=exposure_time_s&before_exposure_time_s=2.3 s")
    assert '<option value="exposure_time_s" selected>exposure time (shutter speed)</option>' in page.text
    assert "Setting to find exposure time (shutter speed) given" in page.shown
    assert "Earlier exposure time 2.3 s given" in page.shown


def test_a_sentence_that_begins_with_a_member_begins_with_a_capital() -> None:
    assert (
        write_in_words("So it is. focal_length_mm tells; focal_length_mm")
        == "So it is. Focal length tells; focal length"
    )
    assert write_in_words("effective_f_number is f/8.") == "Effective f-number is f/8."


def test_no_result_names_a_member_by_its_code(api: FlaskClient) -> None:
    query = "f_number=8&magnification=3&unknown=flash_power&before_magnification=1&before_flash_power=1/64"
    page = read(api, f"/tasks/light?{query}")
    told = page.shown[page.shown.index("Result") : page.shown.index("Keep this result")]
    assert "_" not in told
    assert "Kind of the flash scale fraction assumed" in told
    assert "Earlier flash power 1/64 given" in told


def test_the_same_picture_on_another_sensor_says_what_it_stands_on(api: FlaskClient) -> None:
    task, example = next(each for each in EXAMPLES if "other_sensor" in each[1].typed)
    page = read(api, example_address(task, example))
    assert "Magnification on the other sensor" in page.shown
    assert re.search("Other sensor 36 × 24 mm from the catalogue, a published size", page.shown)
    assert "Pupil magnification on the other camera 0.8 assumed" in page.shown
    assert "1:1.25" not in page.shown


def test_a_caption_ends_with_one_full_stop_and_names_stay_as_they_are(api: FlaskClient) -> None:
    page = read(api, DRAWN)
    assert "..</figcaption>" not in page.text
    assert not re.search(r"\.\. ", page.shown)
    assert "Step up" not in page.shown


def test_settings_to_choose_from_are_told_in_words(api: FlaskClient) -> None:
    page = read(api, "/tasks/light").text
    assert '<option value="flash_power">flash power</option>' in page
    assert "_scale" not in page.replace("before_", "")


def test_the_marks_of_a_ring_are_told_as_they_are_engraved(api: FlaskClient) -> None:
    address = "/tasks/set-up?camera=field-camera&lens=wide-35&reversed=yes&f_number=f/8&part=reversing-49&tube_mm=31"
    page = read(api, address).text
    assert "f/6.7" in page  # half a stop beyond f/5.6, as rings that go by halves have it
    assert "f/6.73" not in page
    assert ".. <a" not in page
