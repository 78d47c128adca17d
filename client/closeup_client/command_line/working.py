"""The working of a sum under its answer: each step numbered, its formula, the numbers put in below, its source."""

import textwrap
from collections.abc import Mapping, Sequence
from typing import Any

from closeup_client.command_line.figures import SIGNS, figure
from closeup_client.command_line.notes import block
from closeup_client.command_line.wording import Wording

STEPS = "steps"
INDENT = 5

Step = Mapping[str, Any]


def working(steps: Sequence[Step], wording: Wording, width: int) -> str:
    """Numbered steps under a heading, then where the formulas are from; nothing where there are none."""
    if not steps:
        return ""
    sources = list(dict.fromkeys(step["source"] for step in steps))
    told: set[str] = set()
    written = ["Working"]
    for number, step in enumerate(steps, 1):
        source = f"[{sources.index(step['source']) + 1}]"
        written += [f"{number:3}. {wording.label(step['quantity'])} {source}", *lines_of(step, width)]
        written += new_symbols(step, told, wording, width)
        told.add(step["symbol"])
    listed = [f"[{number}] {source}" for number, source in enumerate(sources, 1)]
    return "\n".join(written) + "\n\n" + block("Sources of the formulas", listed, width)


def lines_of(step: Step, width: int) -> list[str]:
    """Formula, numbers put in and result, the equals signs below each other."""
    unit = SIGNS.get(step["unit"], step["unit"])
    below = " " * (INDENT + len(step["symbol"]) + 1)
    numbers = [] if step["numbers"] is None else step["numbers"].split(" = ")[1:]
    texts = [*numbers[:-1], f"{numbers[-1] if numbers else figure(step['result'])} {unit}".rstrip()]
    formula = textwrap.fill(
        step["formula"], width, initial_indent=" " * INDENT, subsequent_indent=f"{below}  ", break_long_words=False
    )
    return [formula, *(f"{below}= {text}" for text in texts)]


def new_symbols(step: Step, told: set[str], wording: Wording, width: int) -> list[str]:
    """Say what those symbols mean that no step before has explained."""
    new = [each for each in step["inputs"] if each["symbol"] not in told]
    told.update(each["symbol"] for each in new)
    if not new:
        return []
    text = ", ".join(f"{each['symbol']} {wording.label(each['quantity'])}" for each in new)
    indent = " " * INDENT
    return [textwrap.fill(f"with {text}", width, initial_indent=indent, subsequent_indent=f"{indent}  ")]
