"""What is printed for people: aligned lines, notes wrapped, figures with sensible digits."""

from collections.abc import Callable

import pytest

from closeup_client.command_line.answers import answer_text
from closeup_client.command_line.figures import figure, measured
from closeup_client.command_line.table import table
from closeup_client.command_line.wording import Wording

Run = Callable[..., tuple[int, str, str]]
WORDING = Wording(table(), table().operations[0])

APERTURE_OF_A_REVERSED_LENS = """\
Effective f-number                f/18.2
Light loss                        2.364 stops
Exposure factor (bellows factor)  5.149
NA                                0.04131

Remarks
  The shortcut N (1 + m), pupils of a reversed lens ignored, would give f/20:
    10% too much.

Cautions
  gear: A reversed lens turns its rear glass, contacts and levers to the
    subject, bare of the mount that guards them. Keep grit, fluids and pins away
    from them, never force a lever, and follow the maker's instructions.
  gear: Whenever parts come off the camera, dust can reach the sensor. Switch
    the camera off, hold its mount downwards, have the next part ready, and
    clean only as the maker's instructions say.
  gear: Never take the lens off while the camera is switched on, just to keep
    its aperture closed. Contacts can short, levers can jam, and dust can reach
    the sensor. Set the aperture as the lens maker's instructions say, or use a
    lens with an aperture ring.
"""
"""8 (1.5 + 1/1.3) = 18.154; (18.154 / 8)^2 = 5.149; 2 log2 2.269 = 2.364; 1.5 / (2 x 18.154) = 0.04131, by hand."""

FRAMING = """\
Magnification   1.57 (1.57:1)
Extension       not determined
Subject width   15 mm
Subject height  9.957 mm

Assumed
  mounting: normal

Remarks
  Extension is not determined without --focal-length-mm. It is engraved on the
    lens, or found from ruler frames at two known extensions.
"""
"""23.5 / 15 = 1.567; 15.6 / 1.567 = 9.957, by hand."""

REVERSED = "reversed 35mm f/8 p=1.3 plane=21 register=45.46"
CAMERA = ("--camera", "23.5x15.6", "register=18")
MOVING = ("--magnification", "1", "--exposure-time-s", "1/100", "--sideways-speed-mm-s", "3")


def test_the_aperture_of_a_reversed_lens_is_printed_so(closeup: Run) -> None:
    words = ("--f-number", "f/8", "--magnification", "1.5:1", "--pupil-magnification", "1,3", "--mounting", "reversed")
    assert closeup("effective-f-number", *words) == (0, APERTURE_OF_A_REVERSED_LENS, "")


def test_the_framing_of_a_subject_is_printed_so(closeup: Run) -> None:
    assert closeup("magnification", "--subject-width-mm", "1,5cm", "--sensor", "23.5X15.6") == (0, FRAMING, "")


def test_an_open_length_is_printed_first_with_its_part(closeup: Run) -> None:
    """35 (1 + 2) - 18 - 21 = 66 mm, by hand."""
    _, out, _ = closeup("evaluate", *CAMERA, "--train", f"{REVERSED} + tube ?", "--target", "2:1")
    lines = out.splitlines()
    assert " ".join(lines[0].split()) == "Solved: length of part 2 (tube ?) 66 mm"
    assert lines[1].split() == ["Magnification", "2", "(2:1)"]


def test_all_values_stand_in_one_column(closeup: Run) -> None:
    _, out, _ = closeup("evaluate", *CAMERA, "--train", f"{REVERSED} + tube 31")
    rows = [line for line in out.partition("\n\n")[0].splitlines() if "  " in line.strip()]
    column = len(max((row[: row.rindex("  ")].rstrip() for row in rows), key=len)) + 2
    assert len(rows) > 15
    assert [row for row in rows if row[column - 1] != " " or row[column] == " "] == []


def test_what_is_not_determined_says_so_and_names_the_missing_datum_in_the_words_of_the_short_form(
    closeup: Run,
) -> None:
    _, out, _ = closeup("evaluate", *CAMERA, "--train", f"{REVERSED} + tube 31", "--no-estimate-unknown")
    flat = " ".join(out.split())
    assert "Rig length not determined" in flat
    assert "rig length are not determined without separation= of part 1 (reversed 35mm f/8)" in flat
    assert "/train/" not in out


def test_a_depth_without_end_is_unlimited_and_so_is_the_whole(closeup: Run) -> None:
    words = ("--sensor", "36x24", "--f-number", "8", "--magnification", "1:4000", "--focal-length-mm", "35")
    _, out, _ = closeup("depth-of-field", *words)
    rows = dict(line.split("  ", 1) for line in out.partition("\n\n")[0].splitlines())
    assert rows["Depth behind"].strip() == "unlimited"
    assert rows["Depth in all"].strip() == "unlimited"
    assert rows["Depth in front"].strip().endswith(" mm")


def test_the_extents_are_told_in_the_place_of_the_depths_and_not_again(closeup: Run) -> None:
    words = ("--sensor", "36x24", "--f-number", "8", "--magnification", "1:4000", "--focal-length-mm", "35")
    assert "extent" not in closeup("depth-of-field", *words)[1]


@pytest.mark.parametrize("width", [40, 60, 100])
def test_text_is_wrapped_to_the_terminal(closeup: Run, monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    _, out, _ = closeup("evaluate", *CAMERA, "--train", f"{REVERSED} + tube 31")
    notes = out.partition("Remarks")[2]
    assert max(map(len, notes.splitlines())) <= width
    assert max(map(len, notes.splitlines())) > width - 15


CAUTIONS = [
    {"code": f"c-{n}", "concerns": whom, "text": f"Caution {n}."}
    for n, whom in enumerate(("gear", "people", "animals", "gear", "people"))
]
"""Five invented cautions in no order."""


def printed_cautions(*, all_cautions: bool) -> list[str]:
    text = answer_text({"cautions": CAUTIONS}, WORDING, 80, all_cautions)
    return [line.strip() for line in text.partition("Cautions\n")[2].splitlines()]


def test_three_cautions_are_shown_people_first_and_the_rest_are_counted() -> None:
    assert printed_cautions(all_cautions=False) == [
        "people: Caution 1.",
        "people: Caution 4.",
        "animals: Caution 2.",
        "2 more with --all-cautions",
    ]


def test_all_cautions_are_shown_on_demand() -> None:
    shown = printed_cautions(all_cautions=True)
    assert shown[-2:] == ["gear: Caution 0.", "gear: Caution 3."]
    assert len(shown) == len(CAUTIONS)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (15.0, "15"),
        (9.95744, "9.957"),
        (126312.0, "126300"),
        (1e6, "1000000"),
        (-0.25, "-0.25"),
        (1e-7, "1e-07"),
    ],
)
def test_figures_have_four_digits_that_count(value: float, text: str) -> None:
    assert figure(value) == text


@pytest.mark.parametrize(
    ("value", "name", "unit", "text"),
    [
        (1.5666, "magnification", "", "1.57 (1.57:1)"),
        (0.238095, "magnification", "", "0.238 (1:4.2)"),
        (1.0, "magnification", "", "1 (1:1)"),
        (14.2307, "effective_f_number", "", "f/14.2"),
        (1.3, "pupil_magnification", "", "1.3"),
        (18.99, "airy_diameter_um", "um", "18.99 µm"),
        (1.646, "light_loss_stops", "stops", "1.646 stops"),
    ],
)
def test_quantities_are_written_as_photographers_say_them(value: float, name: str, unit: str, text: str) -> None:
    assert measured(value, name, unit) == text


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("optimum-aperture", "--subject-depth-mm", "2", "--magnification", "1"),
            "Best, advice are not determined without --sensor-detail-lp-per-mm.",
        ),
        (
            ("motion-blur", *MOVING, "--flash-t01-s", "1ms"),
            "Ambient share and flash share are not determined without --ambient-share:",
        ),
        (
            ("motion-blur", *MOVING),
            "give --allowed-blur-um, --allowed-blur-px,",
        ),
        (
            ("evaluate", *CAMERA, "--train", "50mm f/8 register=18 + tube 25", "--no-estimate-unknown"),
            "compare the two pupils' diameters and give p= of part 1 (50mm f/8).",
        ),
        (
            ("evaluate", *CAMERA, "--train", "50mm f/8 register=18 + tube 25"),
            "Finest detail of the pixels, contrast at that detail, share of pixels filled, sampling are not determined "
            "without pitch= of --camera.",
        ),
    ],
)
def test_what_a_remark_asks_for_is_named_as_it_is_typed(closeup: Run, words: tuple[str, ...], says: str) -> None:
    assert says in " ".join(closeup(*words)[1].split())


def test_remarks_say_micrometres_as_values_do() -> None:
    text = answer_text({"remarks": [{"code": "c", "text": "step of 3 um, see --rail-step-um"}]}, WORDING, 80, False)
    assert text == "Remarks\n  Step of 3 µm, see --rail-step-um\n"


@pytest.mark.parametrize("text", ["--sensor is missing", "p= of part 1", "f/8 is marked"])
def test_what_is_typed_gets_no_capital_at_the_beginning_of_a_remark(text: str) -> None:
    assert WORDING.in_remark(text) == text


def test_cells_of_a_reckoned_listing_are_written_like_lines(closeup: Run) -> None:
    words = ("--subject-depth-mm", "2", "--magnification", "1", "--f-numbers", "4", "8", "--contrast", "0.2")
    _, out, _ = closeup("optimum-aperture", *words, "--subject-detail-lp-per-mm", "20")
    rows = [line.split() for line in out.splitlines() if line.lstrip().startswith("f/")]
    assert [row[:3] for row in rows] == [["f/4", "f/4", "f/8"], ["f/8", "f/8", "f/16"]]
    assert [row[4] for row in rows] == ["no", "yes"]
    assert max(len(row[5].replace("0.", "").lstrip("0")) for row in rows) == 4


EXPOSURE = ("exposure", "--reference", "f/8 1:1 iso=100 power=1/64", "--flash-scale", "fraction greatest=1/16")


def test_what_closes_the_gap_of_a_flash_is_a_table_of_settings_each_in_its_own_unit(closeup: Run) -> None:
    """From 1:1 to 7:1, pupils alike, N_eff grows 2 to 8 times N: 4 stops, of which 1/16 gives 2; ISO 400, f/4, 4 flashes."""
    _, out, _ = closeup(*EXPOSURE, "--planned", "7:1", "--unknown", "flash-power")
    rows = [line.split("  ") for line in out.partition("Flash power: ways to close the gap\n")[2].splitlines()[:4]]
    assert [[cell.strip() for cell in row if cell] for row in rows] == [
        ["setting", "new setting", "nearest mark"],
        ["ISO speed", "400", "400"],
        ["marked f-number", "f/4", "f/4"],
        ["flashes with the shutter open", "4", "-"],
    ]


def test_the_setting_solved_is_named_in_words_and_its_value_has_its_unit(closeup: Run) -> None:
    words = ("--reference", "f/8 1:1 1/10s iso=100", "--planned", "3:1", "--unknown", "exposure time")
    lines = [line.split("  ") for line in closeup("exposure", *words)[1].splitlines()]
    rows = {line[0]: line[-1].strip() for line in lines}
    assert rows["Setting solved"] == "exposure time"
    assert rows["New setting"] == "0.4 s"


def test_assumed_values_of_a_group_name_it(closeup: Run) -> None:
    out = closeup(*EXPOSURE, "--planned", "7:1", "--unknown", "flash-power")[1]
    assert "  mounting (planned): normal\n" in out


@pytest.mark.usefixtures("wide_terminal")
def test_a_wish_that_nothing_meets_is_told_in_words_with_the_set_up_that_comes_near(closeup: Run) -> None:
    words = ("--subject-width-mm", "40", "--camera", "23.5x15.6 mount=bayonet-18.0", "--longest-rig-mm", "60")
    (row,) = (line for line in closeup("search", *words)[1].splitlines() if line.startswith("longest rig "))
    assert "  60 mm  " in row
    assert " f/" in row


def test_a_listing_on_record_keeps_its_digits(closeup: Run) -> None:
    assert "17.526" in closeup("mounts")[1]
