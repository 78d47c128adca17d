"""Reading a page strictly: every tag closed in its turn, every id and attribute once."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "br", "input", "hr", "img", "source"}
BY_ITSELF = {"title", "h1", "h2", "h3", "h4"}


class NotWellFormed(ValueError):
    """A page that a strict reader does not take."""


@dataclass
class Node:
    """One element: its attributes, and all the text within it."""

    tag: str
    attributes: dict[str, str | None]
    text: str = ""

    @property
    def words(self) -> str:
        return " ".join(self.text.split())


@dataclass
class Page:
    """Every element of a page in the order in which it opens."""

    nodes: list[Node] = field(default_factory=list)

    def all(self, *tags: str, class_: str | None = None) -> list[Node]:
        return [
            node
            for node in self.nodes
            if node.tag in tags and (class_ is None or class_ in (node.attributes.get("class") or "").split())
        ]

    @property
    def ids(self) -> list[str]:
        return [node.attributes["id"] or "" for node in self.nodes if "id" in node.attributes]

    @property
    def links(self) -> list[str]:
        return [node.attributes["href"] or "" for node in self.nodes if node.attributes.get("href")]


class Reader(HTMLParser):
    """Builds the page, or says what is wrong with it."""

    def __init__(self) -> None:
        super().__init__()
        self.page = Page()
        self.open: list[Node] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if len(dict(attrs)) < len(attrs):
            raise NotWellFormed(f"<{tag}> gives an attribute twice: {attrs}")
        node = Node(tag, dict(attrs))
        if any(each.tag == "p" for each in self.open) and tag in {
            "p",
            "ul",
            "ol",
            "table",
            "div",
            "section",
            "pre",
            *BY_ITSELF,
        }:
            raise NotWellFormed(f"<{tag}> within <p>")
        self.page.nodes.append(node)
        if tag not in VOID:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1].tag != tag:
            raise NotWellFormed(
                f"</{tag}> closes <{self.open[-1].tag if self.open else 'nothing'}>, line {self.getpos()[0]}"
            )
        self.open.pop()

    def handle_data(self, data: str) -> None:
        for node in self.open:
            node.text += data


def read_page(text: str) -> Page:
    """Read a page.

    Raises
    ------
    NotWellFormed
        Where its tags or ids are out of order.
    """
    if not text.lower().startswith("<!doctype html>\n"):
        raise NotWellFormed("no document type")
    reader = Reader()
    reader.feed(text)
    reader.close()
    if reader.open:
        raise NotWellFormed(f"<{reader.open[-1].tag}> is not closed")
    ids = reader.page.ids
    if len(set(ids)) < len(ids):
        raise NotWellFormed(f"ids given twice: {sorted({each for each in ids if ids.count(each) > 1})}")
    return reader.page
