"""The lesson's answers are the API's, and each sum shown comes out as shown."""

import re
from functools import partial

import pytest
from flask.testing import FlaskClient

from closeup_service.advice.figures import decimal
from closeup_service.gear.kit import Kit
from closeup_service.http.forms import read_form
from closeup_service.pages.asking import Studio
from closeup_service.pages.lesson import Lesson, Sum
from closeup_service.running.settings import Settings
from closeup_service.schemas.kit import demo_kit, demo_kit_in
from html_pages import Page, read_page

READ = partial(read_form, limits=Settings().limits)
LESSON = Lesson(Studio(demo_kit_in, READ, Settings().most_upload_mb, READ))
ARITHMETIC = re.compile(r"[0-9.*/+() -]+")


@pytest.fixture(scope="module")
def with_answers(api: FlaskClient) -> Page:
    return read_page(api.get("/lesson/answers").text)


@pytest.fixture(scope="module")
def without(api: FlaskClient) -> Page:
    return read_page(api.get("/lesson").text)


@pytest.mark.parametrize("worked", LESSON.sums, ids=lambda worked: worked.path)
def test_every_answer_is_the_apis(api: FlaskClient, worked: Sum) -> None:
    response = api.post(worked.path, json=worked.request)
    assert response.status_code == 200
    assert response.json == worked.answer


def test_the_answers_shown_are_those_worked_out(with_answers: Page) -> None:
    shown = [node.words for node in with_answers.all("strong", class_="answer")]
    for each in LESSON.rulers:
        assert decimal(each.answer["magnification"]) in shown
    for each in (*LESSON.normal_f_numbers, *LESSON.reversed_f_numbers):
        assert decimal(each.answer["effective_f_number"]) in shown
        assert decimal(each.answer["light_loss_stops"], 2) in shown
    for models in LESSON.depths:
        assert {decimal(each.answer["total_mm"]) for each in models.values()} <= set(shown)
    for each in LESSON.diffraction:
        assert decimal(each.answer["airy_diameter_um"], 2) in shown
    assert decimal(LESSON.exposure.answer["value"], 2) in shown
    assert decimal(LESSON.flash.answer["flash_power_fraction"], 2) in shown
    assert f"f/{decimal(LESSON.optimum.answer['nominal_f_number'])}" in shown


def test_every_working_comes_out_as_shown(with_answers: Page) -> None:
    workings = [node.words for node in with_answers.all("span", class_="working")]
    assert len(workings) > 20
    for working in workings:
        written, _, result = working.rpartition(" = ")
        for sign, operator in {"×": "*", "÷": "/", "²": "**2", "−": "-"}.items():
            written = written.replace(sign, operator)
        assert ARITHMETIC.fullmatch(written), working
        half_a_digit = 0.5 * 10.0 ** -len(result.partition(".")[2])
        assert eval(written) == pytest.approx(float(result), rel=0.003, abs=half_a_digit), working


def test_the_sheet_without_answers_gives_none_away(without: Page, with_answers: Page) -> None:
    assert not without.all("strong", class_="answer")
    assert not without.all("span", class_="working")
    blanks = len(without.all("span", class_="blank")) - len(with_answers.all("span", class_="blank"))
    assert blanks == len(with_answers.all("strong", class_="answer"))


def test_the_minutes_make_the_lesson(without: Page) -> None:
    minutes = [int(node.words.removesuffix(" minutes")) for node in without.all("span", class_="minutes")]
    assert sum(minutes) == 90


def test_the_kit_is_the_invented_one_and_says_so(without: Page) -> None:
    kit: Kit = demo_kit()
    assert kit.origin == "demo"
    words = without.all("main")[0].words
    assert "The kit is invented" in words
    wide = next(lens for lens in kit.lenses if lens.id == "wide-35").settings[0]
    assert (
        f"focal length {decimal(wide.focal_length_mm)} mm, pupil magnification {decimal(wide.pupil_magnification or 0)}"
        in words
    )
