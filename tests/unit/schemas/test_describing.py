"""Pointers of the API in words."""

import pytest

from closeup_service.schemas.describing import pointer_words


@pytest.mark.parametrize(
    ("pointer", "words"),
    [
        ("/kit/lenses/4/settings/0/pupil_magnification", "pupil magnification of lens 5 of the kit"),
        ("/train/1/f_number", "marked f-number of part 2"),
        ("/train/1", "part 2"),
        ("/tolerance", "tolerance"),
    ],
)
def test_a_pointer_says_what_it_leads_to(pointer: str, words: str) -> None:
    assert pointer_words(pointer).replace(" (pupil ratio, exit / entrance)", "") == words
