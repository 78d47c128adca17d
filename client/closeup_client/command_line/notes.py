"""What goes with an answer: assumed values, remarks, cautions; each apart, wrapped to the width."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from closeup_client.command_line.figures import measured, with_range
from closeup_client.command_line.wording import Wording, unit_of

NOTES = ("assumed", "coverage", "estimated", "ranges", "measure_first", "remarks", "cautions")
BASED_ON = {"lens-class": "by its class", "measured": "by its class and what was measured"}
SHOWN_FIRST = 3
WHOM = ("people", "animals", "gear")


def notes(answer: Mapping[str, Any], wording: Wording, width: int, all_cautions: bool) -> Iterator[str]:
    """Blocks of text, those that have something to say."""
    yield block("Assumed", assumed_lines(answer.get("assumed", {}), wording), width)
    yield block("Estimated", estimated_lines(answer.get("estimated", {}), wording), width)
    yield block("Remarks", [wording.in_remark(each["text"]) for each in answer.get("remarks", ())], width)
    yield cautions_block(answer.get("cautions", ()), wording, width, all_cautions)


def block(heading: str, texts: Sequence[str], width: int) -> str:
    """Write a heading and its texts, each wrapped and set in."""
    if not texts:
        return ""
    return "\n".join([heading, *(wrapped(text, width) for text in texts)])


def wrapped(text: str, width: int) -> str:
    """Wrap one text, set in, its further lines a little more."""
    return textwrap.fill(
        text, width, initial_indent="  ", subsequent_indent="    ", break_long_words=False, break_on_hyphens=False
    )


def assumed_lines(assumed: Mapping[str, Any], wording: Wording) -> list[str]:
    """Each assumed value by what it belongs to."""
    return [f"{assumed_label(name, wording)}: {assumed_value(name, value, wording)}" for name, value in assumed.items()]


def estimated_lines(estimated: Mapping[str, Any], wording: Wording) -> list[str]:
    """Each estimated datum of a lens with its range."""
    return [
        f"{assumed_label(name, wording)}: {estimated_value(name, each, wording)}" for name, each in estimated.items()
    ]


def estimated_value(name: str, datum: Mapping[str, Any], wording: Wording) -> str:
    """Median and range of a datum, and what they are based on."""
    own = name.rsplit("/", 1)[-1]
    told = with_range(datum["value"], datum, own, unit_of(own, wording.known))
    return f"{told} ({BASED_ON.get(datum['based_on'], datum['based_on'])})"


def assumed_label(name: str, wording: Wording) -> str:
    """Label of a flat member, or of a member with the part or group it belongs to."""
    steps = name.removeprefix("/").split("/")
    label = wording.label(steps[-1])
    if len(steps) == 1:
        return label
    if steps[0] == "train" and steps[1].isdigit():
        return f"{label} of {wording.part(int(steps[1]))}"
    return f"{label} ({wording.label(steps[0])})"


def assumed_value(name: str, value: Any, wording: Wording) -> str:
    """Value with its unit."""
    own = name.rsplit("/", 1)[-1]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    return measured(value, own, unit_of(own, wording.known))


def people_first(cautions: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Cautions by whom they concern; whom only a newer service knows comes last."""
    order = {whom: place for place, whom in enumerate(WHOM)}
    return sorted(cautions, key=lambda caution: order.get(caution["concerns"], len(order)))


def cautions_block(cautions: Sequence[Mapping[str, Any]], wording: Wording, width: int, all_cautions: bool) -> str:
    """Cautions, people first; three at first and the rest on demand."""
    ordered = people_first(cautions)
    shown = ordered if all_cautions else ordered[:SHOWN_FIRST]
    text = block("Cautions", [f"{each['concerns']}: {wording.in_remark(each['text'])}" for each in shown], width)
    left = len(ordered) - len(shown)
    return f"{text}\n  {left} more with --all-cautions" if left else text
