"""Whatever a form lacks or holds, its faults speak the page's words, each at a field of the form with a link to it."""

import html
import itertools
import re
from collections.abc import Iterator, Mapping
from urllib.parse import urlencode

import pytest
from flask.testing import FlaskClient

from closeup_service.optics.vocabulary import VOCABULARY
from closeup_service.pages.task import Input, Task
from closeup_service.pages.tasks import TASKS
from closeup_service.pages.working import SHARES, stand_in
from page_reading import Reading
from thoroughness import FULL, up_to

Typed = Mapping[str, str | tuple[str, ...]]
NEVER = re.compile(
    r"\b(null|NaN|determined|undetermined|member|members|JSON|object|array|string|boolean|part \d|reckon\w*|mend\w*)\b"
    r"|/v1|[a-z]+_[a-z_]+|(?<![\w/])/[a-z]|\{|\}|true or false",
    re.IGNORECASE,
)
"""What no photographer knows."""
WRONG_NUMBERS = ("wide", "0", "-5", "1e9", "1.234", "7 kg", "1/0")
WRONG_WORDS = ("perhaps", "9x9")
FEW = 2
"""Wrong texts of each field in the short run, of all tests."""
PAIRS = up_to(200)
"""Pairs of fields that are filled alone."""


def list_forms(task: Task) -> Iterator[Typed]:
    """Blank, partial, wrong and contradicting forms of a task."""
    filled: list[Typed] = [example.typed for example in task.examples][: len(task.examples) if FULL else 1]
    for base in ({"units": "in"}, *filled):
        yield {**base, "units": "in"}
        yield from ({name: text for name, text in base.items() if name != left} for left in base)
        yield from ({**base, each.name: text} for each in task.inputs for text in wrong_texts(each))
        yield from ({**base, each.name: right_text(each)} for each in task.inputs if not each.is_document)
    typed = [each for each in task.inputs if not each.is_document and not each.is_flag]
    for first, second in itertools.islice(itertools.combinations(typed, 2), PAIRS):
        yield {first.name: right_text(first), second.name: right_text(second)}


def wrong_texts(wanted: Input) -> tuple[str, ...]:
    texts = () if wanted.is_document else WRONG_NUMBERS if wanted.is_number else WRONG_WORDS
    return texts if FULL else texts[:FEW]


def right_text(wanted: Input) -> str:
    if wanted.is_flag:
        return "yes"
    if wanted.is_number:
        return f"{stand_in(wanted, SHARES[0]):.4g}"
    own = wanted.own_choices
    choices = own if isinstance(own, tuple) else ()
    return choices[0].value if choices else "36x24" if wanted.is_sensor else "field-camera"


def told(page: Reading) -> list[tuple[str, str]]:
    """Faults of a page: the field that each leads to, and its words."""
    summary = re.search(r'<div class="faults".*?</div>', page.text, re.DOTALL)
    items = re.findall(r"<li>(?!<a href=\"/)(.*?)(?=<li>|</div>)", summary[0], re.DOTALL) if summary else []
    found = [(re.match(r'<a href="#([^"]*)">', item), item) for item in items]
    return [(at[1] if at else "", html.unescape(re.sub(r"<[^>]+>", "", item))) for at, item in found]


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.slug)
def test_faults_speak_the_words_of_the_page_at_its_fields(api: FlaskClient, task: Task) -> None:
    shown: set[str] = set()
    for typed in list_forms(task):
        answer = api.get(f"/tasks/{task.slug}?{urlencode(typed, doseq=True)}", follow_redirects=True)
        assert answer.status_code == 200, typed
        page = Reading(answer.text)
        for field, text in told(page):
            words = re.sub(r"“[^”]*”", "", text)
            assert field in page.ids, (typed, text)
            assert f"{field}-fault" in page.ids, (typed, text)
            assert not NEVER.search(words), (typed, text)
            shown.add(text)
    assert len(shown) > len(task.groups)


def test_words_that_never_show_are_found() -> None:
    for text in (
        "Give focal_length_mm.",
        "See /v1/diffraction.",
        "of part 2",
        "It is null.",
        "/train/0",
        "not determined",
    ):
        assert NEVER.search(text), text
    assert all(NEVER.search(name) for name in VOCABULARY if "_" in name)
    assert not NEVER.search("Enter a number from 0.5 to 256 µm, 2:1 or 1/125 s: f/8, lp/mm.")
