"""What the command line shows of a lens of which only the engravings are known; it estimates unless told not to."""

import json
from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]
LENS = ("magnification", "--focal-length-mm", "28", "--mounting", "reversed", "--camera-register-mm", "44")
FIRST_QUESTION = (*LENS, "--extension-mm", "7")
TRAIN = ("evaluate", "--camera", "36x24 register=44", "--train")


def flat(closeup: Run, *words: str) -> str:
    code, out, err = closeup(*words)
    assert (code, err) == (0, "")
    return " ".join(out.split())


def test_the_first_question_is_answered_with_value_and_range(closeup: Run) -> None:
    shown = flat(closeup, *FIRST_QUESTION)
    assert "Magnification about 2.12:1, 1.72:1 to 2.48:1" in shown
    assert "Estimated front principal plane: about" in shown
    assert "(by its class)" in shown


def test_told_not_to_it_is_refused_as_before(closeup: Run) -> None:
    code, out, err = closeup(*FIRST_QUESTION, "--no-estimate-unknown")
    assert (code, out) == (3, "")
    assert "--front-principal-plane-mm" in err


def test_a_train_is_shown_with_ranges_within_its_groups(closeup: Run) -> None:
    shown = flat(closeup, *TRAIN, "reversed 28mm f/8 + tube 7")
    assert "Effective f-number about f/" in shown
    assert "Depth in front about" in shown


def test_an_open_length_has_its_range(closeup: Run) -> None:
    shown = flat(closeup, *TRAIN, "reversed 28mm f/8 + tube ?", "--target", "3:1")
    assert "Solved: length of part 2 (tube ?) about" in shown


def test_what_cannot_be_told_says_what_to_do(closeup: Run) -> None:
    shown = flat(closeup, *TRAIN, "reversed 135mm f/8 + tube 7")
    assert "Magnification measure first" in shown
    assert "Photograph a ruler once" in shown


def test_one_frame_of_a_ruler_narrows_it(closeup: Run) -> None:
    words = (*LENS, "--extension-mm", "25", "--measured", "reversed 7mm 2.1:1 register=44", "--json")
    code, out, _ = closeup(*words)
    found = json.loads(out)["ranges"]["magnification"]
    assert code == 0
    assert (found["high"] - found["low"]) / 2 < 0.05 * json.loads(out)["magnification"]


@pytest.mark.parametrize(
    "part",
    ["class=macro", "widest=2.8", "barrel=50", "iris=20", "front-pupil=10 rear-pupil=14", "zoom-from=24 zoom-to=70"],
)
def test_what_is_known_of_a_lens_is_said_in_short(closeup: Run, part: str) -> None:
    assert "Magnification about" in flat(closeup, *TRAIN, f"reversed 35mm f/8 {part} + tube 40")


def test_a_document_is_sent_as_it_is(closeup: Run, tmp_path: object) -> None:
    document = {
        "camera": {"register_mm": 44},
        "train": [{"element": "lens", "focal_length_mm": 28, "reversed": True, "f_number": 8}],
    }
    path = f"{tmp_path}/set-up.json"
    with open(path, "w", encoding="utf-8") as file:
        json.dump(document, file)
    code, _, err = closeup("evaluate", "--document", path)
    assert code == 3
    assert "front_principal_plane_mm" in err


def test_the_help_says_that_it_estimates(closeup: Run) -> None:
    shown = flat(closeup, "magnification", "--help")
    assert "--no-estimate-unknown" in shown
    assert "unless told not to" in shown
