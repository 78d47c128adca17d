"""The house is in order: format, lint, types, direction of imports, published files. The same gate everywhere."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent

CHECKS = {
    "format": [str(BIN / "ruff"), "format", "--check", "."],
    "lint": [str(BIN / "ruff"), "check", "."],
    "types": [str(BIN / "mypy")],
    "imports": [str(BIN / "lint-imports")],
    "generated files": [sys.executable, "-m", "closeup_service.published", "--check"],
}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "service", "client", "openapi", "tests", "docker"}


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.outside if name == "types" else ()) for name in CHECKS]
)
def test_the_gate_is_open(name: str) -> None:
    ended = subprocess.run(CHECKS[name], cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout + ended.stderr


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if tracked.returncode != 0:
        pytest.skip("Not a git checkout.")
    top = {line.split("/")[0] for line in tracked.stdout.splitlines()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL
