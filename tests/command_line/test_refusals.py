"""What a refusal says: the option or the part at fault, in the words that the person used."""

from collections.abc import Callable

import pytest

Run = Callable[..., tuple[int, str, str]]
CAMERA = ("--camera", "register=18")


def complaint(closeup: Run, *words: str) -> str:
    code, out, err = closeup(*words)
    assert code in (2, 3)
    assert out == ""
    return err


def test_every_fault_of_an_option_is_told_at_once(closeup: Run) -> None:
    err = complaint(closeup, "effective-f-number", "--f-number", "0.1", "--magnification", "2000")
    assert err.splitlines() == [
        "closeup effective-f-number: refused.",
        "  --f-number: Give a number from 0.5 to 256.",
        "  --magnification: Give a number from 0.0001 to 1000.",
    ]


def test_options_that_share_a_fault_share_a_line_with_options_in_its_words(closeup: Run) -> None:
    err = complaint(closeup, "magnification", "--sensor", "36x24")
    options = "--subject-width-mm, --subject-height-mm, --extension-mm, --working-distance-mm"
    assert err.splitlines()[1:] == [f"  {options}: Give exactly one of: {options}."]


def test_a_fault_in_a_part_names_the_part_and_its_short_names(closeup: Run) -> None:
    err = complaint(closeup, "evaluate", *CAMERA, "--train", "50mm f/900 + objective 5x na=0.1")
    assert "  f-number= of part 1 (50mm f/900): Give a number from 0.5 to 256." in err
    assert "Give exactly one of: tube-lens=, tube=." in err
    assert "/train" not in err


def test_a_fault_of_the_camera_names_its_option(closeup: Run) -> None:
    err = complaint(closeup, "evaluate", "--camera", "register=5000", "--train", "50mm register=18")
    assert "  register= of --camera: Give a number from 0 to 1000 mm." in err


def test_a_range_the_wrong_way_round_names_its_option(closeup: Run) -> None:
    words = ("--train", "50mm register=18 + tube ?", "--target", "1:1", "--between", "50", "20")
    assert "  --between: The minimum is above the maximum." in complaint(closeup, "evaluate", *CAMERA, *words)


def test_what_optics_refuse_is_told_once_with_the_way_to_find_the_datum(closeup: Run) -> None:
    err = complaint(closeup, "evaluate", *CAMERA, "--train", "reversed 35mm f/8 + tube 31", "--no-estimate-unknown")
    assert err.startswith(
        "closeup evaluate: refused. The magnification is not determined without plane= of part 1 (reversed 35mm f/8)."
    )
    assert err.count("\n") == 1


def test_a_length_that_cannot_be_reached_says_the_nearest(closeup: Run) -> None:
    words = ("--train", "50mm register=18 + tube ?", "--target", "5:1", "--between", "0", "100")
    err = complaint(closeup, "evaluate", *CAMERA, *words)
    assert "refused." in err
    assert "nearest" in err or "attain" in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("magnifcation",), "did you mean magnification?"),
        (("magnification", "--subject-width", "3"), "there is no --subject-width; did you mean --subject-width-mm?"),
        (("scale-reading", "--first-mark", "3"), "there is no --first-mark; did you mean --first-mark-mm?"),
        (("evaluate", "--camera", "half", "--train", "50mm"), "and bare values such as 36x24"),
        (("lens-calibration", "--frames", "m=1.6"), "'m=1.6' says nothing of a frame;"),
        (("magnification", "--zzz"), "see closeup magnification --help"),
        (("magnification", "--sensor", "36x24", "stray"), "'stray' stands alone"),
        (("magnification", "--extension-mm", "31nm"), "--extension-mm: it takes mm, not nm"),
        (("--verbose",), "there is no --verbose"),
        (("evaluate", "--camera", "register", "--train", "50mm"), "--camera: 'register' says nothing of a camera"),
        (("evaluate", "--train", "50mm"), "Missing: --camera"),
    ],
)
def test_a_mistake_names_what_may_have_been_meant(closeup: Run, words: tuple[str, ...], says: str) -> None:
    assert says in complaint(closeup, *words)


def test_a_negative_value_is_a_value_and_not_an_option(closeup: Run) -> None:
    """52.5 + 5.5 = 58 mm: 35 (1 + 1/2) = 52.5 to the plane, which lies 5.5 mm before the rim, by hand."""
    words = ("--focal-length-mm", "35", "--magnification", "2", "--front-principal-plane-mm", "-5,5mm")
    code, out, _ = closeup("working-distance", *words)
    assert code == 0
    assert out.splitlines()[0].split() == ["Working", "distance", "58", "mm"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('{"camera": 1, "camera": 2}', "a name is given twice in one object"),
        ('{"camera": NaN}', "NaN is not JSON"),
        ("[1]", "holds no JSON object"),
        ("{", "cannot be read"),
        ("[" * 100_000, "cannot be read"),
        ('{"camera": 1e999}', "Every number must be finite"),
    ],
)
def test_a_document_that_is_no_strict_json_object_is_a_mistake_of_the_command(
    closeup: Run, tmp_path: object, text: str, says: str
) -> None:
    path = f"{tmp_path}/rig.json"
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    code, _, err = closeup("evaluate", "--document", path)
    assert code == 2
    assert says in err
