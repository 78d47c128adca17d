"""The README's tour runs as printed."""

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

from closeup_service.operations.registry import operations
from ruler_pictures import draw
from running_service import clean_environment

README = Path(__file__).parents[2] / "README.md"
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
BLOCKS = BLOCK.findall(README.read_text(encoding="utf-8"))
CALLS = [
    (BLOCKS[at][1], json.loads(BLOCKS[at + 1][1]))
    for at, (kind, _) in enumerate(BLOCKS[:-1])
    if BLOCKS[at + 1][0] == "json"
]
DRAWING = ".venv/bin/python tests/"
OWN_LINES = [text for kind, text in BLOCKS if kind == "console" or (kind == "sh" and text.startswith(DRAWING))]
LINES = [line.removeprefix("$ ") for text in OWN_LINES for line in text.splitlines()]
SCRIPTS = [(BLOCKS[at][1], BLOCKS[at + 1][1]) for at, (kind, _) in enumerate(BLOCKS[:-1]) if kind == "python"]
CONTAINERS = [text for kind, text in BLOCKS if kind == "sh" and text.startswith("docker ")]
ELSEWHERE = [text for kind, text in BLOCKS if kind == "sh" and text.startswith("python3 -m venv ")]
"""The start and the test command, which .ci/run takes from the README and runs."""
FOLDERS = ("service", "client", "openapi", "docker", "tests", ".ci")
FILE = re.compile(r"(?<![\w<>/.…-])[\w.-][\w./-]*\w\.(?:py|json|js|sh|yaml|txt)\b")
ADDRESS = "http://127.0.0.1:8000"


def test_the_tour_has_what_this_module_reads() -> None:
    assert len(CALLS) >= 3
    assert len(SCRIPTS) >= 1
    assert len(LINES) >= 8


def test_every_block_is_run_by_somebody() -> None:
    pairs = [text for kind, text in BLOCKS if kind in ("json", "text")]
    run = [*(call for call, _ in CALLS), *(script for script, _ in SCRIPTS), *OWN_LINES, *CONTAINERS, *ELSEWHERE]
    assert [text for _, text in BLOCKS if text not in run and text not in pairs] == []
    assert len(pairs) == len(CALLS) + len(SCRIPTS)
    assert len(ELSEWHERE) == len(
        re.findall(r"^<!-- (?:start|test) -->$", README.read_text(encoding="utf-8"), re.MULTILINE)
    )


@pytest.mark.parametrize("text", CONTAINERS)
def test_commands_for_containers_name_what_there_is(text: str) -> None:
    """tests/container runs them; here no name may go astray."""
    files = [Path(README.parent, name) for name in re.findall(r"docker/[\w.-]+", text)]
    assert [file for file in files if not file.is_file()] == []
    services = {
        name for file in files if file.suffix == ".yaml" for name in yaml.safe_load(file.read_text())["services"]
    }
    assert set(re.findall(r"closeup-[a-z]\b", text)) <= services


def test_files_that_the_texts_name_are_there() -> None:
    files = [f"/{file.relative_to(README.parent)}" for top in FOLDERS for file in Path(README.parent, top).rglob("*.*")]
    named = FILE.findall((README.parent / "DEVELOPERS.md").read_text(encoding="utf-8"))
    assert len(named) > 100
    assert [name for name in named if not any(file.endswith(f"/{name}") for file in files)] == []


@pytest.mark.parametrize(("command", "printed"), CALLS)
def test_each_call_answers_as_printed(service_url: str, command: str, printed: dict[str, Any]) -> None:
    ended = subprocess.run(
        ["sh", "-c", command.replace(ADDRESS, service_url)], capture_output=True, text=True, timeout=30, check=True
    )
    answer = json.loads(ended.stdout)
    assert [name for name in answer if name in printed] == list(printed)
    assert {name: answer[name] for name in printed} == approximately(printed)


def approximately(printed: dict[str, Any]) -> dict[str, Any]:
    return {name: approximate_value(value) for name, value in printed.items()}


def approximate_value(value: Any) -> Any:
    if isinstance(value, dict):
        return approximately(value)
    return pytest.approx(value, rel=1e-12) if isinstance(value, float) else value


@pytest.mark.parametrize(("script", "printed"), SCRIPTS)
def test_each_script_prints_what_is_printed(service_url: str, tmp_path: Path, script: str, printed: str) -> None:
    draw(tmp_path)
    ended = subprocess.run(
        [sys.executable, "-c", script.replace(ADDRESS, service_url)],
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
        env=clean_environment(),
        cwd=tmp_path,
    )
    assert ended.stdout == printed, ended.stderr


def test_the_lines_of_the_console_run_one_after_the_other(tmp_path: Path) -> None:
    own = Path(sys.executable).parent
    for line in LINES:
        there = line.replace(DRAWING, f".venv/bin/python {README.parent}/tests/")
        here = there.replace(".venv/bin/", f"{own}/")
        ended = subprocess.run(
            ["sh", "-c", here],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
            env=clean_environment(),
            cwd=tmp_path,
        )
        assert ended.returncode == 0, (line, ended.stderr)
    assert list((tmp_path / "bars").glob("*.svg"))


def test_the_list_names_every_resource_in_the_order_of_the_document() -> None:
    listed = [
        address
        for line in README.read_text(encoding="utf-8").splitlines()
        if line.startswith("| ")
        for address in re.findall(r"`(/v1/[^`]+)`", line)
    ]
    assert listed == [operation.path for operation in operations()]


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    first, second = README.read_text(encoding="utf-8").split("\n\n")[1:3]
    assert len(first) > 300
    assert second.startswith("## ")
