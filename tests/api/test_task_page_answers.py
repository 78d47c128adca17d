"""What a result says first: a sentence or two with the answer, the verdicts, the drawing, five figures; the rest is folded."""

import re
from html import unescape

import pytest
from flask.testing import FlaskClient

from closeup_service.pages.task import Example, Task
from page_reading import DRAWN, EXAMPLES, example_address, example_id, read, result_of

OLD = "/tasks/set-up?register_mm=44&sensor=36x24&reversed=yes&focal_length_mm=28&tube_mm=7"
SHARP = "/tasks/sharpness?sensor=23.5x15.6"
BEFORE = "/tasks/light?f_number=8&before_magnification=1&magnification=2.5"


def answer_of(api: FlaskClient, address: str) -> str:
    """The first sentences of a result."""
    found = re.search(r'<p class="headline">(.*?)</p>', read(api, address).text)
    assert found, address
    return unescape(found[1]).replace("\u00a0", " ")


def verdicts_of(api: FlaskClient, address: str) -> dict[str, str]:
    """Grade by what is judged."""
    return {
        about: grade
        for grade, about in re.findall(r'<li class="(fine|limit|beyond)"><b>([^:]*):', read(api, address).text)
    }


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("/tasks/fill-the-frame?subject_width_mm=15&sensor=23.5x15.6", "Your subject fills the frame at 1.57:1."),
        (
            "/tasks/fill-the-frame?subject_width_mm=15&sensor=23.5x15.6&mounting=reversed&focal_length_mm=35"
            "&camera_register_mm=18&lens_register_mm=45.46&front_principal_plane_mm=21",
            "1.57:1: put 50.8 mm of tubes or bellows behind the lens, and the subject 67.8 mm in front of it.",
        ),
        (
            f"{SHARP}&f_number=16&magnification=3",
            "At f/16 and 3:1 diffraction alone is softer than you accept; f/2.2 to",
        ),
        (f"{SHARP}&f_number=16&magnification=3", "f/3.2 is the range to use. 1.27 mm are sharp."),
        (f"{SHARP}&f_number=2.8&magnification=3", "At f/2.8 and 3:1, 0.0775 mm are sharp, and the finest detail"),
        (
            f"{SHARP}&f_number=5.6&magnification=2&subject_depth_mm=4",
            "diffraction allows f/4.5 at most: stack 22 frames at f/4.5, 0.181 mm apart.",
        ),
        (f"{SHARP}&magnification=2&subject_depth_mm=0.1", "A depth of 0.1 mm at 2:1 takes f/2.47. The two ends"),
        (
            f"{SHARP}&magnification=2&subject_depth_mm=1",
            "A depth of 1 mm asks for f/11.6, and diffraction allows f/4.5 at most",
        ),
        ("/tasks/sharpness?f_number=16&magnification=3", "At f/16 and 3:1, the finest detail resolved is 14.3 µm."),
        (DRAWN, "Set “Table bellows” to 57.9 mm: the frame is then 12 mm wide at 1.96:1, with 57.3 mm free in front"),
        (DRAWN, "A depth of 1 mm asks for f/13.9, and diffraction allows f/4.8 at most: stack 6 frames at f/4.8"),
        (
            OLD,
            "This set-up gives about 2.1:1: the frame is about 17 mm wide, and about 59 mm are free in front of the lens.",
        ),
        (
            f"{OLD}&f_number=8&subject_depth_mm=2",
            "diffraction allows f/8 at most: stack about 5 frames at f/8, about 0.4",
        ),
        ("/tasks/light?f_number=8&magnification=2", "At 2:1 the marked f/8 acts as f/24: 3 1/3 stops less light"),
        (f"{BEFORE}&unknown=flash_power&before_flash_power=1/32", "Set the flash to 1/16+0.7 of its full power. At"),
        (f"{BEFORE}&unknown=exposure_time_s&before_exposure_time_s=1/125", "Set the shutter to 1/40 s."),
        (f"{BEFORE}&unknown=iso&before_iso=100", "Set ISO 320."),
        (f"{BEFORE}&unknown=flash_distance_mm&before_flash_distance_mm=300", "Put the flash 171 mm from the subject."),
        ("/tasks/light?f_number=8&magnification=1.5&guide_number_m=36", "At full power put the flash 1800 mm from the"),
        (
            "/tasks/light?f_number=22&magnification=3&guide_number_m=36&flash_distance_mm=1400",
            "The flash is too weak by 3 2/3 stops: bring it nearer, open the lens, or raise the ISO speed.",
        ),
        (
            "/tasks/ruler?first_mark_mm=12.5&last_mark_mm=27.5&sensor=23.5x15.6",
            "The ruler shows 1.57:1: the frame is 15 mm",
        ),
        ("/tasks/ruler?first_mark_mm=12.5&last_mark_mm=27.5&sensor=23.5x15.6", "lie between 1.4831 and 1.6502."),
        (
            "/tasks/find-set-up?subject_width_mm=40&camera=field-camera&least_working_distance_mm=15 cm&longest_rig_mm=12 cm",
            "None of your set-ups meets every wish; the nearest misses one alone, the least working distance",
        ),
        (
            "/tasks/find-set-up?subject_width_mm=12&camera=field-camera",
            "set-ups meet your wishes; the best has the lens “",
        ),
        ("/tasks/rings?lens=wide-35&onto=table-bellows", "2 rings join the two, 6.6 mm thick together."),
        ("/tasks/rings?from_thread=M58x0.75&to_mount=bayonet-18.0", "One ring joins the two; there are 5 ways in all."),
        (
            "/tasks/another-sensor?magnification=2&f_number=5.6&sensor=36x24&other_sensor=17.3x13.0",
            "takes 1:1.04 and f/4. If f/5.6 stays, 0.617 mm are sharp there instead of 0.398 mm.",
        ),
        (
            "/tasks/focus-stack?subject_depth_mm=4&magnification=2&f_number=5.6&sensor=23.5x15.6",
            "Take 16 frames, and move 0.251 mm between them: they cover 4 mm of depth.",
        ),
        (
            "/tasks/movement?magnification=2&sideways_speed_mm_s=1.5&exposure_time_s=1/200&pixel_pitch_um=3.9&sensor=36x24",
            "The frame blurs by 3.85 px, 15 µm on the sensor; expose or flash for",
        ),
        (
            "/tasks/my-lens?focal_length_mm=28&mount=M42x1&widest_f_number=2.8&camera_register_mm=44&extension_mm=7",
            "With this lens the magnification is about 2.1:1, between 1.7:1 and 2.5:1; measure next",
        ),
        (
            "/tasks/scale-bar?magnification=2.5&sensor=23.5x15.6&image_width_px=6000&cropped_width_px=4000&finished_width_px=1200",
            "A bar of 1000 µm is 191 px long, at 191 px/mm.",
        ),
    ],
)
def test_the_answer_comes_first_in_a_sentence(api: FlaskClient, address: str, said: str) -> None:
    assert said in answer_of(api, address)


@pytest.mark.parametrize(("task", "example"), EXAMPLES, ids=example_id)
def test_every_example_leads_with_at_most_two_sentences(api: FlaskClient, task: Task, example: Example) -> None:
    page = read(api, example_address(task, example))
    said = answer_of(api, example_address(task, example))
    assert 1 <= len(re.findall(r"[a-z0-9)]\. (?=[A-Z])|\.$", said)) <= 2
    assert not re.search(r"[{}_]|None (?!of)|null", said)
    result = result_of(page)
    assert result.index('class="headline"') < result.index('class="folds"')
    figures = (
        result[result.find('class="first"') : result.index('class="calculated"')] if 'class="first"' in result else ""
    )
    assert figures.count("<dt>") <= 5


@pytest.mark.parametrize(
    ("address", "expected"),
    [
        (
            f"{DRAWN}",
            {"Sharpness": "beyond", "Depth of field": "beyond", "Light": "fine", "Room for light": "fine"},
        ),
        (f"{OLD}&f_number=8", {"Sharpness": "limit", "Light": "limit", "Room for light": "fine"}),
        (OLD, {"Room for light": "fine"}),
        (
            f"{SHARP}&f_number=4&magnification=1&subject_depth_mm=0.2",
            {"Sharpness": "fine", "Depth of field": "fine", "Light": "fine"},
        ),
        ("/tasks/light?f_number=22&magnification=3&guide_number_m=36&flash_distance_mm=1400", {"Light": "beyond"}),
        ("/tasks/ruler?first_mark_mm=12.5&last_mark_mm=27.5&sensor=23.5x15.6", {}),
    ],
)
def test_verdicts_stand_below_it(api: FlaskClient, address: str, expected: dict[str, str]) -> None:
    assert verdicts_of(api, address) == expected


def test_the_drawing_comes_before_the_figures_and_all_else_is_folded(api: FlaskClient) -> None:
    result = result_of(read(api, DRAWN))
    order = (
        'class="headline"',
        'class="verdicts"',
        "/v1/set-ups/drawing",
        'class="first"',
        'class="cautions"',
        'class="folds"',
    )
    places = [result.index(each) for each in order]
    assert places == sorted(places)
    folds = result[result.index('class="folds"') : result.index('id="again"')]
    assert re.findall(r"<summary>([^<]*)</summary>", folds)[:5] == [
        "Framing",
        "Sharpness and depth of field",
        "Light",
        "Room and size",
        "Focus stack",
    ]
    assert "<details open" not in result
    assert result.count('loading="lazy"') == 3
    before = result[: result.index('class="folds"')]
    assert "<table" not in before


def test_calculated_is_said_once_with_a_link_to_what_was_assumed(api: FlaskClient) -> None:
    page = read(api, DRAWN)
    assert page.shown.count("Calculated, with some assumed values") == 1
    assert "reckoned" not in page.shown
    assert "partly assumed" not in page.shown


def test_what_is_linked_as_assumed_stands_in_the_list(api: FlaskClient) -> None:
    page = read(api, f"{OLD}&f_number=8&subject_depth_mm=1")
    links = {link for link in page.links if link.startswith("#assumed-")}
    assert len(links) >= 3
    assert {link.removeprefix("#") for link in links} <= set(page.ids)


def test_cautions_that_concern_people_or_animals_are_never_folded(api: FlaskClient) -> None:
    address = "/tasks/light?f_number=8&magnification=1&guide_number_m=36&pops=8&mounting=reversed"
    page = read(api, address)
    cautions = page.text[page.text.index('id="cautions"') :]
    folded = cautions[cautions.index("<details>") : cautions.index("</details>")]
    assert not re.search(r"<strong>(People|Animals)", folded)


def test_f_numbers_have_the_mark_in_words_after_them(api: FlaskClient) -> None:
    page = read(
        api, "/tasks/set-up?camera=field-camera&lens=normal-50&reversed=yes&f_number=f/8&part=reversing-49&part=tube-16"
    )
    assert re.search(r"f/10\.2 , about 2/3 stop beyond f/8", page.shown)
    assert not re.search("[⅓⅔]", page.text)
