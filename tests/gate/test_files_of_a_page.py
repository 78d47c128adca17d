"""How many files of ours a page's request enters, once everything that is made when first asked for is there."""

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import pytest
from flask.testing import FlaskClient

import closeup_service

SERVICE = Path(closeup_service.__file__).parent
MOST_FILES = 44
"""Four of them say an answer in its language: `http/languages.py`, `language/speaking.py`, `pages/translated.py` and
`pages/recognizing.py`."""


def files_entered(work: Callable[[], object]) -> set[Path]:
    found: set[str] = set()

    def note(frame: FrameType, event: str, argument: object) -> None:
        found.add(frame.f_code.co_filename)

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return {
        path.relative_to(SERVICE) for path in map(Path, found) if path.suffix == ".py" and path.is_relative_to(SERVICE)
    }


@pytest.mark.parametrize(
    "address",
    [
        "/tasks/fill-the-frame?subject_width_mm=15+mm&sensor=23.5x15.6",
        "/tasks/light?f_number=f%2F8&magnification=2%3A1&mounting=reversed&pupil_magnification=1.3",
    ],
)
def test_a_page_with_a_result_enters_few_files(api: FlaskClient, address: str) -> None:
    assert api.get(address).status_code == 200
    entered = files_entered(lambda: api.get(address))
    assert Path("pages/working.py") in entered
    assert len(entered) <= MOST_FILES, sorted(map(str, entered))
