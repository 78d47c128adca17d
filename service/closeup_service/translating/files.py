"""The catalogue's files: `de.po`, which people edit, and `de.mo`, which is compiled of it."""

from io import BytesIO
from typing import TYPE_CHECKING

from closeup_service.language import GERMAN
from closeup_service.translating.gathered import SOURCE, gather_texts

if TYPE_CHECKING:
    from babel.messages.catalog import Catalog

FOLDER = SOURCE / "language"
EDITED, COMPILED = FOLDER / f"{GERMAN}.po", FOLDER / f"{GERMAN}.mo"
WIDTH = 120
HEADER = """\
# German texts, in the plain words of the trade. `python -m closeup_service.translating` keeps this file current.
msgid ""
msgstr ""
"Language: de\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""
"""Head of the file, without dates and versions, so that the same texts make the same file."""

NEEDED_HEADERS = [("Content-Type", "text/plain; charset=utf-8"), ("Plural-Forms", "nplurals=2; plural=(n != 1);")]


def update_catalogue() -> "Catalog":
    """Catalogue with every text that there is and none that is gone; new ones lack their translation."""
    kept = read(EDITED.read_bytes())
    kept.update(gather_texts(), no_fuzzy_matching=True, update_header_comment=False)
    kept.obsolete.clear()
    return kept


def read(text: bytes) -> "Catalog":
    """Read a catalogue."""
    from babel.messages.pofile import read_po  # noqa: PLC0415

    return read_po(BytesIO(text), locale=GERMAN)


def edited_text(catalogue: "Catalog") -> bytes:
    """Text of the file that people edit, sorted by where texts stand."""
    from babel.messages.pofile import write_po  # noqa: PLC0415

    written = BytesIO()
    write_po(written, catalogue, width=WIDTH, sort_by_file=True, omit_header=True, include_lineno=False)
    return HEADER.encode() + written.getvalue().lstrip(b"\n")


def compiled_bytes(text: bytes) -> bytes:
    """What the service reads of an edited file."""
    from babel.messages.catalog import Catalog  # noqa: PLC0415
    from babel.messages.mofile import write_mo  # noqa: PLC0415

    class Headed(Catalog):
        """Catalogue whose head holds only what a reader needs: no dates, no versions."""

        mime_headers = property(lambda self: NEEDED_HEADERS)

    catalogue, written = Headed(locale=GERMAN), BytesIO()
    for message in read(text):
        if message.id:
            catalogue.add(message.id, message.string)
    write_mo(written, catalogue)
    return written.getvalue()
