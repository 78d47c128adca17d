"""The words of the cautions: what they speak of, how they speak, and that they stand in one place."""

import ast
import re
from pathlib import Path

import pytest

import closeup_service
from closeup_service.advice import caution_texts
from closeup_service.advice.caution_texts import ORDER, TEXTS, Text
from closeup_service.schemas.answers import MOST_NOTES, WHOM

SERVICE = Path(closeup_service.__file__).parent
USUAL = {
    "flash close to people's eyes": {"flash-near-eyes"},
    "flash close to animals' eyes": {"flash-near-animals"},
    "ultraviolet lamps": {"ultraviolet-light"},
    "strong lamps": {"strong-lamp"},
    "hot modelling lamps near cloth, paper, specimens and hands": {"hot-lamp", "hot-lamp-too-near"},
    "flash heads and capacitors are never to be opened": {"flash-never-opened"},
    "mains gear away from water, wet specimens and preserving fluids": {"mains-near-water"},
    "flammable or harmful preserving fluids near lamps": {"preserving-fluid"},
    "glass edges, pins and blades": {"sharp-things"},
    "exposed rear glass and contacts of a reversed lens": {"reversed-rear-exposed"},
    "parts that reach the mirror or shutter": {"reaches-mirror-or-shutter"},
    "heavy rigs hanging on a mount": {"heavy-rig"},
    "moving rails that pinch or collide": {"moving-rail", "stack-collision"},
    "old flash units with a high trigger voltage": {"old-flash-unit", "trigger-voltage-over-limit"},
    "repeated flashes and photosensitive people": {"repeated-flashes"},
    "flashes near a head's duty limit": {"flash-near-duty", "flash-over-duty"},
    "the sun through any lens: eyes, fire, sensor": {"sun-through-lens"},
    "lasers": {"laser"},
    "batteries that burn, burst or leak": {"batteries"},
    "dry specimens that were treated with poison": {"old-specimens"},
    "glass left in the sun": {"glass-in-the-sun"},
    "old thoriated glass": {"thoriated-glass"},
    "stands that tip, cables that trip": {"stands-and-cables"},
    "live subjects' welfare": {"live-subject"},
    "sensor dust when lenses come off": {"lens-change-dust"},
    "no stopping down by taking a lens off a live camera": {"lens-off-live-camera"},
}
"""The usual cautions that answers owe people, and the codes under which they come."""

DEFERS = re.compile(r"\b(maker|makers|supplier)('s|s')? instructions|local rules|qualified pe", re.IGNORECASE)
NEVER = re.compile(r"\b(safe|safely|safety|harmless|danger-free|guarantee\w*|risk-free)\b", re.IGNORECASE)
PLACE = re.compile(r"\{[^}]*\}")
WORDINGS = [
    pytest.param(wording, id=f"{text.code}-{kind}")
    for text in TEXTS
    for kind, wording in (("words", PLACE.sub("some", text.words)), ("in-general", text.record()["text"]))
]


def sentences(words: str) -> list[str]:
    return [each for each in re.split(r"(?<=[.!?:])\s+", words) if each]


@pytest.mark.parametrize("item", USUAL)
def test_every_usual_caution_has_its_text(item: str) -> None:
    assert USUAL[item] <= {text.code for text in TEXTS}


def test_the_list_holds_every_text_of_the_module_once_people_first() -> None:
    own = [value for value in vars(caution_texts).values() if isinstance(value, Text)]
    assert list(TEXTS) == own
    assert len({text.code for text in TEXTS}) == len(TEXTS) <= MOST_NOTES
    assert [text.concerns for text in TEXTS] == sorted((text.concerns for text in TEXTS), key=WHOM.index)
    assert tuple(ORDER) == WHOM


@pytest.mark.parametrize("words", WORDINGS)
def test_a_text_promises_nothing_and_defers_to_those_who_know(words: str) -> None:
    assert not NEVER.search(words)
    assert DEFERS.search(words)


@pytest.mark.parametrize("words", WORDINGS)
def test_a_text_states_no_number_of_its_own(words: str) -> None:
    assert not re.search(r"\d", words)
    assert not re.search(r"\b(metres?|meters?|centimetres?|feet|inch(es)?|seconds?|minutes?|degrees?)\b", words)


@pytest.mark.parametrize("words", WORDINGS)
def test_a_text_is_short_and_its_sentences_are_too(words: str) -> None:
    assert 15 <= len(words.split()) <= 60
    lengths = [len(each.split()) for each in sentences(words)]
    assert sum(lengths) / len(lengths) < 30
    assert max(lengths) <= 45
    assert words.endswith(".")


@pytest.mark.parametrize("words", WORDINGS)
def test_a_text_is_in_short_words(words: str) -> None:
    found = re.findall(r"[A-Za-z]+", words)
    assert sum(map(len, found)) / len(found) < 5.5


def test_a_text_with_values_has_general_words_and_no_other_has() -> None:
    assert {text.code for text in TEXTS if PLACE.search(text.words)} == {t.code for t in TEXTS if t.in_general}
    assert [text.code for text in TEXTS if "{" in text.record()["text"]] == []


def test_no_other_module_of_the_service_holds_a_sentence_of_a_text() -> None:
    wordings = [PLACE.sub("", text.words) for text in TEXTS] + [text.in_general for text in TEXTS if text.in_general]
    told = {each for words in wordings for each in sentences(words) if len(each.split()) > 3}
    assert len(told) > len(TEXTS)
    here = Path(caution_texts.__file__)
    others = [path for path in SERVICE.rglob("*") if path.suffix in (".py", ".html", ".json") and path != here]
    assert len(others) > 20
    assert {path.name: found for path in others if (found := sentences_held(path, told))} == {}


def sentences_held(path: Path, told: set[str]) -> list[str]:
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        constants = [node.value for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Constant)]
        text = "\n".join(value for value in constants if isinstance(value, str))
    text = " ".join(text.split())
    return [each for each in told if each in text]
