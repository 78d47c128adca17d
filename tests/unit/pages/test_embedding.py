"""The embedded calculator: its messages in every language, its numbers, its scripts and how long they may be kept."""

import gzip
import json
import re
from html import unescape
from string import Formatter
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from closeup_service.advice.caution_texts import TEXTS
from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.embedding.description import description
from closeup_service.pages.embedding.messages import LANGUAGES, SOURCE, catalogue, cautions, label, labels
from closeup_service.pages.embedding.reading import read_number, write_number
from closeup_service.pages.embedding.scripts import current_version, integrity, script
from closeup_service.pages.embedding.snippets import RUNGS, snippet
from closeup_service.pages.embedding.sums import SUMS
from closeup_service.pages.typed_numbers import CannotRead

ELEMENT = "closeup-sum.js"
MOST_BYTES = 12000
IN_GERMAN = {
    name: {key: text if key == "sensor" else text.replace(".", ",") for key, text in each.example.items()}
    for name, each in SUMS.items()
}
"""The examples as they are typed in German."""
OTHERS = [language for language in LANGUAGES if language != SOURCE]


def placeholders(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize("language", OTHERS)
def test_every_language_has_every_message_with_the_same_placeholders(language: str) -> None:
    source, other = catalogue(SOURCE), catalogue(language)
    assert list(other) == list(source)
    assert {key: placeholders(text) for key, text in other.items()} == {
        key: placeholders(text) for key, text in source.items()
    }


@pytest.mark.parametrize("language", OTHERS)
def test_labels_are_those_of_known_members_and_none_that_is_shown_lacks_one(language: str) -> None:
    shown = {name for each in SUMS.values() for name in (*each.members, *each.results)}
    assert set(labels(language)) <= {*VOCABULARY, *shown, "flash_shape", "model"}
    assert shown <= set(labels(language))


@pytest.mark.parametrize("language", OTHERS)
def test_every_caution_has_its_text_in_every_language(language: str) -> None:
    told = cautions(language)
    assert list(told) == [text.code for text in TEXTS]
    assert not any(placeholders(text) for text in told.values())
    english = {text.code: text.record()["text"] for text in TEXTS}
    assert [code for code, text in told.items() if not 0.7 < len(text) / len(english[code]) < 1.6] == []
    assert [code for code, text in told.items() if text == english[code]] == []


@pytest.mark.parametrize("name", SUMS)
def test_a_framed_sum_in_german_cautions_in_german(api: FlaskClient, name: str) -> None:
    asked = {**IN_GERMAN[name], "mounting": "reversed"}
    german, english = (
        api.get(f"/embed/frame/{name}", query_string={"lang": lang, **asked}).text for lang in ("de", "en")
    )
    told = re.findall(r'<strong>[^<]*</strong> <span lang="([^"]*)">([^<]*)', german)
    assert len(told) == english.count("<strong>")
    assert {lang for lang, _ in told} <= {"de"}
    assert {unescape(text) for _, text in told} <= set(cautions("de").values())
    assert description(SUMS[name], "de", "1.0.0")["cautions"] == cautions("de")
    assert description(SUMS[name], "en", "1.0.0")["cautions"] == {}


@pytest.mark.parametrize(
    ("typed", "said"),
    [("125", True), (" 2 ", True), ("1", False), ("0", False), ("125 s", False), ("1/125", False), ("2,5", False)],
)
def test_a_framed_sum_says_what_it_read_as_whole_seconds(api: FlaskClient, typed: str, said: bool) -> None:
    asked = {"lang": "de", "magnification": "1:1", "sideways_speed_mm_s": "2", "exposure_time_s": typed}
    page = api.get("/embed/frame/motion-blur", query_string=asked).text
    assert (f"Belichtungszeit: {typed.strip()} wurde als {typed.strip()} s gelesen." in page) is said


def test_what_is_not_translated_is_marked() -> None:
    assert label("de", "rig_length_mm") == ("rig length", "en")
    told: Any = description(SUMS["flash"], "de", "1.0.0")
    named = told["labels"]["trigger_voltage_v"]
    assert named["lang"] == "en"


def test_the_scripts_own_words_are_those_of_the_catalogue() -> None:
    source = script_text()
    blocks = {language: re.search(rf"\n  {language}: {{\n(.*?)\n  }},", source, re.DOTALL) for language in LANGUAGES}
    for language, block in blocks.items():
        assert block is not None
        words = dict(re.findall(r'(\w+): "([^"]*)"', block[1]))
        assert words == {key: catalogue(language)[key] for key in ("unreachable", "retry")}


def script_text() -> str:
    content = script(ELEMENT)
    assert content is not None
    return content.decode()


def test_the_script_is_small_and_knows_its_version() -> None:
    assert len(script_text().encode()) < MOST_BYTES
    assert f'const VERSION = "{current_version()}";' in script_text()


@pytest.mark.parametrize("name", SUMS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_fields_units_and_bounds_are_those_of_the_vocabulary(api: FlaskClient, name: str, language: str) -> None:
    told = api.get(f"/embed/{current_version()}/{language}/{name}.json").get_json()
    assert [field["name"] for field in told["fields"]] == list(SUMS[name].members)
    for field in told["fields"]:
        known = VOCABULARY.get(field["name"])
        if known is not None:
            assert (field["minimum"], field["maximum"]) == (known.minimum, known.maximum)
        else:
            assert field["choices"]
        assert field["required"] == SUMS[name].request().fields[field["name"]].required


@pytest.mark.parametrize(
    ("text", "name", "language", "value"),
    [
        ("2:1", "magnification", "en", 2),
        ("1:2", "magnification", "de", 0.5),
        ("1,5x", "magnification", "de", 1.5),
        ("f/5.6", "f_number", "en", 5.6),
        ("F 5,6", "f_number", "en", 5.6),
        ("1:2,8", "f_number", "de", 2.8),
        ("5,6", "f_number", "de", 5.6),
        ("1,250", "focal_length_mm", "de", 1.25),
        ("1/125", "exposure_time_s", "en", 0.008),
        ("1/125 s", "exposure_time_s", "en", 0.008),
        ("35 mm", "focal_length_mm", "en", 35),
        ("−3", "front_principal_plane_mm", "en", -3),
    ],
)
def test_numbers_are_read_as_people_type_them(text: str, name: str, language: str, value: float) -> None:
    assert read_number(text, name, language) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "name", "language", "key"),
    [
        ("1,250", "focal_length_mm", "en", "ambiguous"),
        ("1.250", "focal_length_mm", "de", "ambiguous"),
        ("acht", "f_number", "de", "not_a_number"),
        ("2:0", "magnification", "en", "not_a_number"),
        ("1/2/3", "magnification", "en", "not_a_number"),
        ("2:1", "focal_length_mm", "en", "not_a_number"),
        ("٣", "focal_length_mm", "en", "not_a_number"),
        ("nan", "focal_length_mm", "en", "not_a_number"),
    ],
)
def test_what_is_no_number_or_two_is_refused(text: str, name: str, language: str, key: str) -> None:
    with pytest.raises(CannotRead) as refusal:
        read_number(text, name, language)
    assert refusal.value.key == key


def read_by_the_element(text: str, field: dict[str, Any], messages: dict[str, str]) -> float | None:
    """Read as the script does, by the patterns of the description; None where they refuse."""
    bare = re.sub(field["strip"], "", text.strip().replace("−", "-"), flags=re.IGNORECASE)
    parts = [part.strip() for part in (re.split(field["divide"], bare) if field["divide"] else [bare])]
    if len(parts) > 2 or not all(
        re.fullmatch(messages[pattern], part, re.ASCII) for part in parts for pattern in ("number", "certain")
    ):
        return None
    above, below = (float(part.replace(",", ".")) for part in (*parts, "1")[:2])
    return above / below if below else None


@given(
    number=st.from_regex(r"[-−]?[0-9]{1,4}([.,][0-9]{0,3})?", fullmatch=True),
    below=st.sampled_from(["", ":2", "/2", " : 0,5", "/1.250", ":0"]),
    before=st.sampled_from(["", "f/", "F ", "1:", "x"]),
    behind=st.sampled_from(["", " mm", "MM", " s", "×", " x", " Blendenstufen"]),
    language=st.sampled_from(LANGUAGES),
)
def test_the_frame_reads_all_that_the_element_reads(
    number: str, below: str, before: str, behind: str, language: str
) -> None:
    text = f"{before}{number}{below}{behind}"
    for name in sorted(SUMS):
        told: Any = description(SUMS[name], language, "1.0.0")
        for field in told["fields"]:
            value = read_by_the_element(text, field, told["messages"]) if "strip" in field else None
            if value is not None:
                assert read_number(text, field["name"], language) == pytest.approx(value, rel=1e-12)


@given(
    value=st.floats(1e-4, 900),
    name=st.sampled_from(["magnification", "f_number", "exposure_time_s", "focal_length_mm", "flash_power_fraction"]),
    language=st.sampled_from(LANGUAGES),
)
def test_what_is_written_can_be_typed_again(value: float, name: str, language: str) -> None:
    said = write_number(value, name, language)
    if not re.search(r"\b[1-9]\d{0,2}[.,]\d{3}\b", said):
        assert read_number(said, name, language) == pytest.approx(value, rel=0.06)


@pytest.mark.parametrize(
    ("value", "name", "language", "said"),
    [
        (1.5666, "magnification", "en", "1.57:1"),
        (0.5, "magnification", "de", "1:2"),
        (18.71, "effective_f_number", "de", "f/18,7"),
        (0.008, "exposure_time_s", "en", "1/125 s"),
        (0.125, "flash_power_fraction", "en", "1/8"),
        (2.452, "light_loss_stops", "de", "2,45 Blendenstufen"),
        (22.53, "airy_diameter_um", "en", "22.5 µm"),
        (1234.5, "working_distance_mm", "en", "1230 mm"),
    ],
)
def test_numbers_are_written_as_people_say_them(value: float, name: str, language: str, said: str) -> None:
    assert write_number(value, name, language) == said


def test_a_versioned_script_is_kept_for_good_and_its_hash_is_pasted(api: FlaskClient) -> None:
    reply = api.get(f"/embed/{current_version()}/{ELEMENT}")
    assert reply.headers["Cache-Control"] == "public, max-age=31536000, immutable"
    assert integrity(reply.data) in snippet("element", SUMS["flash"], "en", "http://127.0.0.1:8000")
    assert reply.headers["Cross-Origin-Resource-Policy"] == "cross-origin"
    assert reply.headers["Access-Control-Allow-Origin"] == "*"
    assert reply.mimetype == "text/javascript"


@pytest.mark.parametrize("address", [f"/embed/{ELEMENT}", "/embed/closeup-frame.js", "/embed/frame/flash"])
def test_what_floats_is_kept_shortly_and_asked_for_again_by_its_tag(api: FlaskClient, address: str) -> None:
    reply = api.get(address)
    assert 0 < int(reply.headers["Cache-Control"].removeprefix("public, max-age=")) <= 3600
    again = api.get(address, headers={"If-None-Match": reply.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


def test_what_foreign_pages_load_is_sent_compressed(api: FlaskClient) -> None:
    for address in (f"/embed/{current_version()}/{ELEMENT}", f"/embed/{current_version()}/en/flash.json"):
        plain, small = (api.get(address, headers={"Accept-Encoding": how}) for how in ("identity", "gzip"))
        assert gzip.decompress(small.data) == plain.data
        assert small.headers["Cache-Control"] == plain.headers["Cache-Control"]


@pytest.mark.parametrize(
    "address",
    ["/embed/9.9.9/closeup-sum.js", "/embed/nothing.js", "/embed/frame/nothing", "/embed/0.1.0/fr/flash.json"],
)
def test_what_is_not_there_is_a_problem(api: FlaskClient, address: str) -> None:
    reply = api.get(address)
    assert (reply.status_code, reply.mimetype) == (404, "application/problem+json")


def test_only_framed_pages_let_themselves_be_framed(api: FlaskClient) -> None:
    opened = {
        address: "frame-ancestors *" in api.get(address).headers["Content-Security-Policy"]
        for address in ("/embed/frame/flash", "/put-it-on-your-site", "/docs", "/embed/frame/nothing", "/v1/cautions")
    }
    assert [address for address, is_open in opened.items() if is_open] == ["/embed/frame/flash"]
    closed = {address: api.get(address).headers.getlist("Content-Security-Policy") for address in opened}
    assert {len(policies) for policies in closed.values()} == {1}
    assert all("unsafe" not in policy for policies in closed.values() for policy in policies)


@pytest.mark.parametrize("rung", RUNGS)
def test_hostile_addresses_stay_text(api: FlaskClient, rung: str) -> None:
    hostile = {"sum": "<script>", "lang": '"><b>', "rung": rung}
    assert "<b>" not in api.get("/put-it-on-your-site", query_string=hostile).text
    query: dict[str, Any] = {"lang": '"><b>', "scheme": '"><b>', "f_number": '"><b>', "x": '"><b>'}
    assert "<b>" not in api.get("/embed/frame/flash", query_string=query).text


def test_the_operators_address_is_pasted(api: FlaskClient) -> None:
    assert "http://localhost/embed/" in api.get("/put-it-on-your-site").text
    text = api.get("/put-it-on-your-site", base_url="https://club.example").text
    assert "https://club.example/embed/" in text


def test_the_description_is_plain_json_that_says_its_format(api: FlaskClient) -> None:
    told = json.loads(api.get(f"/embed/{current_version()}/de/flash.json").data)
    assert (told["format"], told["lang"], told["path"]) == (1, "de", "/v1/flash")
