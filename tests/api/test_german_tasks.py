"""The task pages in German: every text of their records, every field, and every fault, with no English left."""

import html
import re
from collections.abc import Iterator

import pytest
from flask.testing import FlaskClient

from closeup_service.gear.catalogue import SENSORS, THREADS
from closeup_service.gear.kit import Kit
from closeup_service.language import ENGLISH, GERMAN, speaking, tr
from closeup_service.language.speaking import Later
from closeup_service.pages.stages import PLACES, STAGES
from closeup_service.pages.task import Input, Task
from closeup_service.pages.tasks import TASKS
from closeup_service.translating.task_texts import texts_of

FORMS = [each for task in TASKS for each in (task, task.photograph) if each is not None]
ENGLISH_WORDS = re.compile(
    r"\b(the|and|with|enter|choose|give|needed|without|from|this|that|which|cannot|is|are|of|for)\b", re.IGNORECASE
)
OF_PEOPLE = re.compile(r"„[^“]*“|“[^”]*”")
SAME_IN_BOTH = {"magenta", "cyan", "Text"}
NAMES = {sensor.names[0] for sensor in SENSORS.values()} | {thread.names[0] for thread in THREADS.values()}
"""Names of formats and threads, which their own catalogue holds."""
EMPTY_KIT = Kit(name="empty", origin="file", revision="1", listing={})


def form_id(task: Task) -> str:
    return f"{task.slug} by photograph" if task.posted else task.slug


def said_in(language: str, text: str) -> str:
    with speaking(language):
        return tr(text)


@pytest.mark.parametrize("task", FORMS, ids=form_id)
def test_every_text_of_a_task_is_german(task: Task) -> None:
    for text in filter(None, texts_of(task)):
        if text in NAMES or (isinstance(text, Later) and "name" in text.values):
            continue
        german = said_in(GERMAN, text)
        assert german != text or text in SAME_IN_BOTH, text
        assert not ENGLISH_WORDS.search(OF_PEOPLE.sub("", german)), german
        assert said_in(ENGLISH, text) == text


def test_stages_and_places_are_german() -> None:
    for text in (
        *(each for stage in STAGES for each in (stage.heading, stage.about)),
        *(each.title for each in PLACES),
    ):
        assert said_in(GERMAN, text) != text


def texts_of_field(wanted: Input) -> Iterator[tuple[str, str]]:
    """What a field says where it stands, by what it is."""
    yield "label", wanted.label
    yield "hint", wanted.hint
    yield "missing", wanted.missing
    yield "usual", wanted.usual
    if not wanted.is_of_kit and not wanted.is_sensor and not wanted.name.endswith("thread"):
        yield from ((f"choice {each.value}", each.label) for each in wanted.choices(EMPTY_KIT) or ())


@pytest.mark.parametrize("task", FORMS, ids=form_id)
def test_every_field_of_a_task_is_german(task: Task) -> None:
    for wanted in task.inputs:
        with speaking(ENGLISH):
            english = dict(texts_of_field(wanted))
        with speaking(GERMAN):
            german = dict(texts_of_field(wanted))
        assert english.keys() == german.keys()
        for what, text in german.items():
            assert not ENGLISH_WORDS.search(OF_PEOPLE.sub("", text)), (wanted.name, what, text)
            assert text != english[what] or len(text.split()) < 2, (wanted.name, what, text)


def test_sensors_and_threads_to_choose_from_are_written_as_in_german() -> None:
    fields = {each.name: each for task in FORMS for each in task.inputs}
    with speaking(GERMAN):
        sensors = [each.label for each in fields["sensor"].choices(EMPTY_KIT) or ()]
        threads = [each.label for each in fields["from_thread"].choices(EMPTY_KIT) or ()]
    assert any(each.startswith("23,5 × 15,6 mm, ") for each in sensors)
    assert any(each.endswith("Steigung 0,75 mm") for each in threads)


FAULTS = [
    ("light", "magnification=2&f_number=wide", "„wide“ ist keine Zahl. 5,6 oder f/5,6 schreiben."),
    ("light", "magnification=2&f_number=8&focal_length_mm=5 kg", "„kg“ ist keine Einheit, die hier gelesen wird."),
    ("light", "magnification=2&f_number=8&focal_length_mm=1,250", "1250 oder 1.250 schreiben."),
    ("light", "magnification=1/0&f_number=8", "„1/0“ teilt durch null."),
    ("light", "magnification=2:0&f_number=8", "„2:0“ teilt durch null."),
    ("light", "magnification=2&f_number=1e99", "Eine Zahl von 0,5 bis 256 eingeben."),
    ("light", "magnification=2&f_number=1e9999", "„1e9999“ ist zu groß für eine Zahl."),
    ("light", "magnification=2&f_number=8&f_numbr=8", "Ist „eingestellte Blende“ gemeint?"),
    ("light", "magnification=2&f_number=8&f_number=9", "Das nur einmal eingeben."),
    ("light", "magnification=2&f_number=8&before_exposure_time_s=60", "An einer Kamera bedeutet „60“ 1/60 s."),
    ("light", "magnification=2&f_number=8&estimate=maybe", "„maybe“ ist weder ja noch nein."),
    ("sharpness", "magnification=2&f_number=8", "Den Sensor der Kamera auswählen"),
    ("movement", "magnification=2&exposure_time_s=1/60", "Angeben, was sich bewegt"),
    ("clear-opening", "magnification=2&f_number=8", "Einmal angeben, wo das Loch liegt"),
    ("rings", "lens=none&onto=field-camera", "Dieses Objektiv gehört nicht zur Ausrüstung."),
    ("my-lens", "focal_length_mm=28&mount=none", "Einen Anschluss aus der Liste auswählen."),
    ("calibrate-a-lens", "camera_register_mm=44", "Den Abbildungsmaßstab mindestens einer Aufnahme angeben."),
    (
        "set-up",
        "focal_length_mm=50&f_number=8",
        "Eine Kamera der Ausrüstung auswählen oder das Auflagemaß der eigenen eingeben.",
    ),
    ("set-up", "document={", "JSON"),
]


@pytest.mark.parametrize(("slug", "query", "german"), FAULTS)
def test_what_is_wrong_or_missing_is_told_in_german(api: FlaskClient, slug: str, query: str, german: str) -> None:
    page = api.get(f"/de/tasks/{slug}?{query}", follow_redirects=True).text
    told = re.search(r'<div class="faults".*?</div>', page, re.DOTALL)
    doubts = re.findall(r'<p class="doubt"[^>]*>(.*?)</p>', page)
    assert german in html.unescape(" ".join([told[0] if told else "", *doubts]))


def test_a_photograph_that_is_missing_is_asked_for_in_german(api: FlaskClient) -> None:
    page = api.post("/de/tasks/ruler", data={"tick_pitch_mm": "1"}, content_type="multipart/form-data").text
    assert "Das Foto auswählen, das gesendet werden soll." in page


def test_a_form_that_cannot_be_read_is_refused_in_german(api: FlaskClient) -> None:
    page = api.post("/de/tasks/ruler", data=b"nothing", content_type="multipart/form-data").text
    assert re.search(r"Angenommen werden höchstens \d+ MB\.", page)


@pytest.mark.parametrize("typed", ["5.6", "5,6", "f/5,6", "F5.6"])
@pytest.mark.parametrize("language", [ENGLISH, GERMAN])
def test_numbers_are_read_alike_in_both_languages(api: FlaskClient, language: str, typed: str) -> None:
    page = api.get(f"/{language}/tasks/light?magnification=1&f_number={typed}&pupil_magnification=1").text
    assert 'id="result"' in page
    assert ("f/11,2" if language == GERMAN else "f/11.2") in page


@pytest.mark.parametrize("typed", ["30 mm", "3 cm", "1.5 in", "1,5 Zoll"])
def test_words_of_units_are_read_in_both_languages(api: FlaskClient, typed: str) -> None:
    for language in (ENGLISH, GERMAN):
        page = api.get(f"/{language}/tasks/fill-the-frame?subject_width_mm={typed}&sensor=36x24").text
        assert 'id="result"' in page
