"""An operation is added at nine places: a throw-away one, in a copy of the tree, by the list in DEVELOPERS.md."""

import filecmp
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from closeup_service.published.__main__ import FOLDERS

TOP = Path(__file__).parents[2]
MOST_PLACES = 9
MODULE = '''"""`/v1/covered-width`."""

from typing import TYPE_CHECKING

from closeup_service.operations.operation import Example, Operation
from closeup_service.schemas.answers import AnswerSchema
from closeup_service.schemas.fields import RequestSchema, quantity, result

if TYPE_CHECKING:
    from closeup_service.records import answers, requests


class CoveredWidthRequest(RequestSchema):
    """A sensor and a magnification."""

    magnification = quantity("magnification", required=True)
    sensor_width_mm = quantity("sensor_width_mm", required=True)


class CoveredWidthAnswer(AnswerSchema):
    """How wide a subject fills the frame."""

    subject_width_mm = result("subject_width_mm", nullable=False)


def answer(asked: "requests.CoveredWidthRequest") -> "answers.CoveredWidthAnswer":
    """Width of the subject that fills the frame."""
    width = asked["sensor_width_mm"] / asked["magnification"]
    return {"subject_width_mm": width, "assumed": {}, "remarks": [], "cautions": []}


OPERATION = Operation(
    operation_id="findCoveredWidth",
    path="/v1/covered-width",
    tag="plan",
    summary="How wide a subject fills the frame",
    description="The width of the sensor over the magnification.",
    answer=answer,
    answer_type=CoveredWidthAnswer,
    request_type=CoveredWidthRequest,
    examples=(
        Example("seed", "A seed on a small sensor (invented)", {"magnification": 2, "sensor_width_mm": 23.5}),
    ),
)
'''
METHOD = '''    def covered_width(
        self, **asked: Unpack[closeup_client.CoveredWidthFields]
    ) -> closeup_client.CoveredWidthAnswer:
        """How wide a subject fills the frame."""
        return self._sum("/v1/covered-width", asked, closeup_client.CoveredWidthAnswer)

'''
BY_HAND = {
    "service/closeup_service/operations/registry.py": (
        '    Place("findWorkingDistance"',
        '    Place("findCoveredWidth", "/v1/covered-width", "plan.covered_width"),\n',
    ),
    "client/closeup_client/client.py": ("    def working_distance(", METHOD),
    "README.md": (
        "| where the subject stands, how long the whole is |",
        "| how wide a subject fills the frame | `/v1/covered-width` |\n",
    ),
    "openapi/CHANGES.md": ("- Corrections of what", "- `/v1/covered-width` (thrown away).\n"),
}
"""Before which text of each file what is written."""
CHECKS = (
    "tests/client/test_drift.py",
    "tests/serving/test_readme.py::test_the_list_names_every_resource_in_the_order_of_the_document",
)

pytestmark = pytest.mark.outside


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the tree with an operation more."""
    copy = tmp_path_factory.mktemp("house") / "tree"
    shutil.copytree(
        TOP,
        copy,
        ignore=shutil.ignore_patterns(".git", ".*cache", ".hypothesis", ".venv", "node_modules", "__pycache__"),
    )
    (copy / "service/closeup_service/operations/plan/covered_width.py").write_text(MODULE, encoding="utf-8")
    for name, (before, text) in BY_HAND.items():
        path = copy / name
        told = path.read_text(encoding="utf-8")
        assert told.count(before) == 1, name
        path.write_text(told.replace(before, text + before), encoding="utf-8")
    run(copy, "-m", "closeup_service.published")
    return copy


def run(tree: Path, *words: str) -> str:
    """Run Python in a copy of the tree."""
    paths = os.pathsep.join(str(tree / each) for each in ("service", "client"))
    ended = subprocess.run(
        [sys.executable, *words],
        cwd=tree,
        env={**os.environ, "PYTHONPATH": paths},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout


def places(tree: Path) -> list[str]:
    """Files that differ from the tree's, or are new."""
    changed = []
    for folder in ("service", "client", "openapi", "."):
        paths = (tree / folder).rglob("*") if folder != "." else tree.glob("*.md")
        for path in paths:
            name = path.relative_to(tree)
            if path.is_file() and "__pycache__" not in path.parts:
                same = (TOP / name).is_file() and filecmp.cmp(path, TOP / name, shallow=False)
                changed += [] if same else [str(name)]
    return changed


def test_it_touches_nine_places_at_most(tree: Path) -> None:
    changed = places(tree)
    by_hand = {name for name in changed if name in BY_HAND or name.endswith("covered_width.py")}
    assert len(by_hand) == 1 + len(BY_HAND)
    generated = {str(Path(name).parent) for name in changed if name not in by_hand}
    assert generated == FOLDERS.keys()
    assert len(by_hand) + len(generated) <= MOST_PLACES, changed


def test_its_types_are_checked(tree: Path) -> None:
    run(
        tree,
        "-m",
        "mypy",
        "service/closeup_service/operations/plan/covered_width.py",
        "client/closeup_client/client.py",
    )


def test_nothing_else_misses_it(tree: Path) -> None:
    run(tree, "-m", "pytest", "-q", "-n", "0", "-m", "", *CHECKS)


def test_every_face_answers_it(tree: Path) -> None:
    members = "magnification=2, sensor_width_mm=23.5"
    script = f"from closeup_client import Client; print(Client.in_process().covered_width({members}).subject_width_mm)"
    assert run(tree, "-c", script).strip() == "11.75"
    words = ("covered-width", "--magnification", "2", "--sensor-width-mm", "23.5")
    assert "11.75 mm" in run(tree, "-m", "closeup_client.cli", *words)
