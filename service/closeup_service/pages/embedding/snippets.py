"""What a page around the calculator is given to paste, by rung."""

from collections.abc import Mapping
from html import escape

from closeup_service.language import mark
from closeup_service.pages.embedding.description import DEFAULTS
from closeup_service.pages.embedding.messages import label, message
from closeup_service.pages.embedding.scripts import current_version, integrity, script
from closeup_service.pages.embedding.sums import Sum

RUNGS: Mapping[str, str] = {
    "element": mark("A custom element: looks like the page around it, needs JavaScript"),
    "frame": mark("A frame: looks the same everywhere, works without JavaScript"),
    "form": mark("A plain form, which leads to the calculator with its answer"),
    "link": mark("A plain link"),
}
FRAME_HEIGHT = 620


def snippet(rung: str, asked: Sum, language: str, home: str) -> str:
    """Text to paste for one rung; `home` is the absolute address of the service."""
    return {"element": element, "frame": frame, "form": form, "link": link}[rung](asked, language, home)


def address(asked: Sum, language: str, home: str) -> str:
    """Address of the calculator on a page of its own."""
    return f"{home}/embed/frame/{asked.name}?lang={language}"


def link(asked: Sum, language: str, home: str) -> str:
    """Link to the calculator."""
    title = escape(message(language, f"sum.{asked.name}"))
    return f'<a href="{escape(address(asked, language, home))}" lang="{language}">{title}</a>'


def element(asked: Sum, language: str, home: str) -> str:
    """Custom element, with the link for as long as it does not work; the script's very bytes are named by their hash."""
    name = "closeup-sum.js"
    content = script(name)
    assert content is not None
    return "\n".join(
        [
            f'<script type="module" src="{escape(home)}/embed/{current_version()}/{name}"',
            f'  integrity="{integrity(content)}" crossorigin="anonymous"></script>',
            f'<closeup-sum sum="{asked.name}" lang="{language}" server="{escape(home)}">',
            f"  {link(asked, language, home)}",
            "</closeup-sum>",
        ]
    )


def frame(asked: Sum, language: str, home: str) -> str:
    """Frame, usable at its height as it stands; with the script it takes the height of its content."""
    name = "closeup-frame.js"
    content = script(name)
    assert content is not None
    title = escape(message(language, f"sum.{asked.name}"))
    return "\n".join(
        [
            f'<iframe class="closeup-frame" src="{escape(address(asked, language, home))}" title="{title}" lang="{language}"',
            f'  width="100%" height="{FRAME_HEIGHT}" sandbox="allow-scripts allow-forms" loading="lazy"></iframe>',
            f'<script type="module" src="{escape(home)}/embed/{current_version()}/{name}"',
            f'  integrity="{integrity(content)}" crossorigin="anonymous"></script>',
        ]
    )


def form(asked: Sum, language: str, home: str) -> str:
    """Form of the first fields, with the sum's example in them."""
    lines = [f'<form action="{escape(home)}/embed/frame/{asked.name}" method="get" lang="{language}">']
    lines.append(f'  <input type="hidden" name="lang" value="{language}">')
    for name in asked.fields:
        words, spoken = label(language, name)
        marked = "" if spoken == language else f' lang="{spoken}"'
        value = asked.example.get(name, DEFAULTS.get(name, ""))
        lines.append(f'  <p><label{marked}>{escape(words)} <input name="{name}" value="{escape(value)}"></label></p>')
    return "\n".join([*lines, f"  <p><button>{escape(message(language, 'calculate'))}</button></p>", "</form>"])
