"""Following every address of every page: none may lead out of the place where the service stands."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

HOST = "http://club.example"
ADDRESSES = ("href", "src", "srcset", "action", "formaction")
MOST_OF_A_PATH = 3
"""Addresses of one path that are followed: pages link to many requests of the same operation."""


@dataclass(frozen=True)
class Answer:
    """What an address answers."""

    status: int
    kind: str
    text: str
    location: str = ""


Get = Callable[[str], Answer]


class Addresses(HTMLParser):
    """Every address that stands in an attribute of a page; those of forms apart, which want more than their address."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.forms: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        into = self.forms if tag in ("form", "button", "input") else self.found
        into += [value or "" for name, value in attrs if name in ADDRESSES]


@dataclass
class Crawl:
    """What was found: every address asked with its status, and whatever leads out."""

    root: str
    get: Get
    statuses: dict[str, int] = field(default_factory=dict)
    outside: set[str] = field(default_factory=set)
    of_path: Counter[str] = field(default_factory=Counter)

    def go(self, *starts: str) -> "Crawl":
        """Follow everything from these addresses on."""
        waiting = [f"{HOST}{self.root}{start}" for start in starts]
        while waiting:
            waiting += self.follow(urldefrag(waiting.pop()).url)
        return self

    def follow(self, address: str) -> list[str]:
        """Ask one address, unless it was asked or is another site's; return what it leads to."""
        parts = urlsplit(address)
        if f"{parts.scheme}://{parts.netloc}" != HOST:
            return []
        if not address.startswith(f"{HOST}{self.root}/"):
            self.outside.add(address)
            return []
        if address in self.statuses or self.of_path[parts.path] >= MOST_OF_A_PATH:
            return []
        self.of_path[parts.path] += 1
        answer = self.get(address.removeprefix(HOST))
        self.statuses[address] = answer.status
        return [urljoin(address, each) for each in leads(answer)]

    @property
    def failed(self) -> dict[str, int]:
        """Addresses that did not answer as they should."""
        return {address: status for address, status in self.statuses.items() if status not in (200, 303, 302, 308)}


def leads(answer: Answer) -> list[str]:
    """Addresses that an answer leads to."""
    if answer.location:
        return [answer.location]
    if not answer.kind.startswith("text/html"):
        return []
    addresses = Addresses(answer.text)
    forms = [each for each in addresses.forms if "/tasks/" in each or "/embed/" in each]
    return [*addresses.found, *forms]
