"""Cautions on the command line: the whole list, and the three first of an answer."""

import json
from collections.abc import Callable

import pytest

from closeup_service.advice.caution_texts import TEXTS

Run = Callable[..., tuple[int, str, str]]

MOTION = ("motion-blur", "--magnification", "2", "--sideways-speed-mm-s", "1", "--flash-t01-s", "0.001")
STUDIO = (*MOTION, "--subject-kind", "fluid-specimen", "--mains-powered", "--light-source", "lamp")


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.usefixtures("wide_terminal")
def test_the_whole_list_is_printed_in_the_words_of_the_service(closeup: Run) -> None:
    code, out, _ = closeup("cautions")
    assert code == 0
    head, *rows = out.partition("\n\n")[0].splitlines()
    assert head.split() == ["code", "text", "concerns", "applies", "to"]
    assert [row.split()[0] for row in rows] == [text.code for text in TEXTS]
    assert [text.code for text in TEXTS if one_line(text.record()["text"]) not in one_line(out)] == []


def test_the_list_as_json_is_the_services(closeup: Run) -> None:
    _, out, _ = closeup("cautions", "--json")
    assert json.loads(out) == {"records": [text.record() for text in TEXTS]}


def test_three_cautions_are_shown_people_first_and_the_rest_on_demand(closeup: Run) -> None:
    told = json.loads(closeup(*STUDIO, "--json")[1])["cautions"]
    assert len(told) > 4
    first = closeup(*STUDIO)[1].partition("Cautions\n")[2]
    assert first.count("people: ") == 3
    assert f"{len(told) - 3} more with --all-cautions" in first
    everything = one_line(closeup(*STUDIO, "--all-cautions")[1])
    assert [each["code"] for each in told if one_line(each["text"]) not in everything] == []
