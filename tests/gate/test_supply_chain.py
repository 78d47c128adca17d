"""What the image is built from: both locks serve the project and name no place, and no tool finds a weakness in the code."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent
LOCKS = ["docker/requirements.txt", "docker/build-requirements.txt"]
SCRIPTS = ["tests/container/smoke.sh", ".ci/audit"]
PYTHONS = ["3.11.0", "3.12.0", "3.13.0", "3.14.0"]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
SHIPPED = PROJECT["project"]["dependencies"] + PROJECT["project"]["optional-dependencies"]["service"]


def entries(lock: str) -> list[str]:
    """Entries of a lock, each on one line with its hashes."""
    joined = (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    return [line for line in joined.splitlines() if line and not line.startswith("#")]


def locked(lock: str, python: str) -> dict[str, str]:
    """Version of each package that a Python on Linux takes from a lock; none is named twice for it."""
    environment = {"python_version": python.rsplit(".", 1)[0], "python_full_version": python, "sys_platform": "linux"}
    found: dict[str, str] = {}
    for entry in entries(lock):
        requirement = Requirement(entry.split(" --hash")[0])
        if requirement.marker is None or requirement.marker.evaluate(environment):
            name = canonicalize_name(requirement.name)
            assert name not in found
            found[name] = str(requirement.specifier).removeprefix("==")
    return found


@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize(
    ("lock", "wanted"), [(LOCKS[0], SHIPPED), (LOCKS[1], PROJECT["build-system"]["requires"])], ids=LOCKS
)
def test_a_lock_serves_what_the_project_names(lock: str, wanted: list[str], python: str) -> None:
    versions = locked(lock, python)
    for requirement in map(Requirement, wanted):
        version = versions[canonicalize_name(requirement.name)]
        assert SpecifierSet(str(requirement.specifier)).contains(version), requirement


@pytest.mark.parametrize("lock", LOCKS)
def test_every_entry_has_its_hashes(lock: str) -> None:
    assert len(entries(lock)) > 10
    for entry in entries(lock):
        assert re.fullmatch(r"[\w.-]+==[\w.]+ (; [^-]+ )?( *--hash=sha256:[0-9a-f]{64} *)+", entry), entry


@pytest.mark.parametrize("lock", [*LOCKS, "docker/build-requirements.in"])
def test_a_lock_names_no_place(lock: str) -> None:
    text = (ROOT / lock).read_text(encoding="utf-8")
    assert not re.search(r"://|--(extra-)?index|--find-links|--trusted-host", text)


@pytest.mark.outside
def test_no_weakness_is_found_in_service_and_client() -> None:
    command = [str(BIN / "bandit"), "--quiet", "--recursive", "--configfile", "pyproject.toml", "service", "client"]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout


@pytest.mark.outside
@pytest.mark.parametrize(
    ("tool", "arguments"),
    [
        ("hadolint", ["--failure-threshold", "info", "docker/Dockerfile"]),
        ("shellcheck", ["--external-sources", "--source-path", "SCRIPTDIR", *SCRIPTS]),
    ],
)
def test_image_and_scripts_are_clean(tool: str, arguments: list[str]) -> None:
    if not (BIN / tool).exists():
        pytest.skip(f"There is no {tool} for this machine.")
    ended = subprocess.run([str(BIN / tool), *arguments], cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout
