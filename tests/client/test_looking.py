"""What a person at a prompt or in a notebook sees: signatures with the members, answers that fit a screen."""

import inspect
import re
from dataclasses import fields
from html.parser import HTMLParser

import pytest

import closeup_client
from closeup_client import Client, camera, lens, spacer
from closeup_client.showing import LINES, WIDTH

METHODS = {
    name: method
    for name, method in inspect.getmembers(Client, inspect.isfunction)
    if any("Unpack[" in str(each) for each in method.__annotations__.values())
}
VOID = {"br", "img", "hr"}


class Balanced(HTMLParser):
    """Counts the tags that are open, and gathers the text."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del attrs
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.fixture(scope="module")
def answer(in_process: Client) -> closeup_client.SetUpAnswer:
    train: list[closeup_client.Element] = [lens(focal_length_mm=28, f_number=8, reversed=True), spacer(length_mm=7)]
    return in_process.evaluate(
        camera=camera(register_mm=44, sensor="36x24"), train=train, estimate_unknown=True, show_steps=True
    )


@pytest.mark.parametrize("name", METHODS)
def test_a_signature_holds_every_member_of_the_request(name: str) -> None:
    signature = inspect.signature(METHODS[name])
    record = next(
        str(each).removeprefix("Unpack[closeup_client.").removesuffix("]")
        for each in METHODS[name].__annotations__.values()
        if "Unpack[" in str(each)
    )
    asked = getattr(closeup_client, record)
    own = {"self", "photo", "photos", "media_type"}
    assert set(signature.parameters) - own == set(asked.__annotations__) | {
        each for base in asked.__mro__ for each in getattr(base, "__annotations__", {})
    }
    needed = [each.name for each in signature.parameters.values() if each.default is inspect.Parameter.empty]
    assert set(asked.__required_keys__) <= set(needed)


def test_a_method_of_a_client_shows_them_without_itself(in_process: Client) -> None:
    parameters = inspect.signature(in_process.diffraction).parameters
    assert "self" not in parameters
    assert parameters["f_number"].kind is inspect.Parameter.KEYWORD_ONLY
    assert "wavelength_nm: float = ..." in str(inspect.signature(in_process.diffraction))


def test_an_answer_fits_a_screen_and_tells_its_figures_with_their_ranges(answer: closeup_client.SetUpAnswer) -> None:
    lines = repr(answer).splitlines()
    assert lines[0] == "SetUpAnswer"
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= WIDTH
    ends = answer.ranges["magnification"] if answer.ranges else None
    assert ends is not None
    assert f"{answer.magnification:.6g}  ({ends.low:.6g} to {ends.high:.6g})" in lines[1]


def test_an_answer_of_many_members_says_how_many_more(answer: closeup_client.SetUpAnswer) -> None:
    told = [each for each in fields(answer) if each.name != "raw" and getattr(answer, each.name) is not None]
    found = re.search(r"and (\d+) more members; .raw holds all", repr(answer))
    shown = sum(f"  {each.name} " in repr(answer) for each in told)
    assert shown + (int(found[1]) if found else 0) == len(told)


def test_a_notebook_shows_every_member_in_a_table(answer: closeup_client.SetUpAnswer) -> None:
    page = Balanced()
    page.feed(answer._repr_html_())
    assert page.open == []
    assert {"magnification", "working_distance_mm", "depth_of_field", "remarks"} <= set(page.words)


def test_what_somebody_named_is_no_html(in_process: Client) -> None:
    mine = {"id": "a", "name": "<b>mine</b>", "mount": "M42x1", "sensor": "36x24"}
    assert "<b>" not in in_process.kit(kit={"name": "invented", "cameras": [mine]})._repr_html_()


def test_a_data_frame_gives_its_columns(in_process: Client) -> None:
    class Column:
        """A column as a library for tables has it: no list, but with a way to one."""

        def __init__(self, *values: float) -> None:
            self._values = values

        def tolist(self) -> list[float]:
            return list(self._values)

    class Table:
        """Columns by name, without being a mapping."""

        def items(self) -> list[tuple[str, Column]]:
            return [("/train/1/length_mm", Column(20.0, 40.0))]

    train: list[closeup_client.Element] = [lens(focal_length_mm=50, register_mm=44.0), spacer(length_mm=10)]
    found = in_process.table(camera=camera(register_mm=44.0), train=train, columns=Table(), fields=["magnification"])
    assert found.columns["magnification"] == pytest.approx([0.4, 0.8])
