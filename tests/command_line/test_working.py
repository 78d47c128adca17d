"""--steps: the working under the answer."""

import json
from collections.abc import Callable

Run = Callable[..., tuple[int, str, str]]
ASKED = (
    *("effective-f-number", "--mounting", "reversed", "--f-number", "8"),
    *("--magnification", "1.5", "--pupil-magnification", "1.3"),
)
WORKING = """\
Working
  1. effective f-number [1]
     N_eff = N · (m + 1 / p)
           = 8 · (1.5 + 1 / 1.3)
           = 18.15
     with N marked f-number, m magnification, p pupil magnification
  2. light loss [2]
     n_s = 2 · log₂(N_eff / N)
         = 2 · log₂(18.15 / 8)
         = 2.364 stops
"""


def test_the_working_stands_between_the_figures_and_the_remarks(closeup: Run) -> None:
    code, printed, _ = closeup(*ASKED, "--steps")
    assert code == 0
    figures, _, rest = printed.partition("\n\n")
    assert "Steps" not in figures
    assert rest.startswith(WORKING)
    assert rest.index("Sources of the formulas\n  [1] R. Kingslake") < rest.index("\nRemarks\n")


def test_without_it_there_is_no_working(closeup: Run) -> None:
    _, printed, _ = closeup(*ASKED)
    assert "Working" not in printed


def test_json_has_the_steps(closeup: Run) -> None:
    _, printed, _ = closeup(*ASKED, "--steps", "--json")
    assert [step["symbol"] for step in json.loads(printed)["steps"]] == ["N_eff", "n_s", "k_t", "NA"]


def test_what_is_found_in_words_stands_with_its_value(closeup: Run) -> None:
    words = (*ASKED, "--model", "contrast", "--sensor-detail-lp-per-mm", "20")
    code, printed, complaint = closeup("depth-of-field", *words[1:], "--steps")
    assert code == 0, complaint
    assert "     x_0 = greatest defocus up to which the detail keeps the contrast" in printed
    assert "         = 0." in printed


def test_narrow_terminals_wrap_the_words(closeup: Run) -> None:
    _, printed, _ = closeup(*ASKED, "--steps")
    assert max(map(len, printed.splitlines())) <= 80
