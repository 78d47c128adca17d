"""The wheel in a fresh environment: what it brings, and what it holds."""

import re
import subprocess
import sys
import zipfile
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from packaging.metadata import Metadata

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(folder), str(ROOT)],
        check=True,
    )
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="module")
def python(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    environment = tmp_path_factory.mktemp("environment")
    subprocess.run([sys.executable, "-m", "venv", str(environment)], check=True)
    python = environment / "bin" / "python"
    subprocess.run([python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", str(wheel)], check=True)
    return python


def test_the_wheel_holds_types_data_pages_and_the_licence(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    assert {
        "closeup_service/py.typed",
        "closeup_client/py.typed",
        "closeup_service/gear/data/demo_kit.json",
        "closeup_service/gear/data/sensors.json",
        "closeup_service/gear/data/standard_rings.json",
        "closeup_service/gear/data/mounts.json",
        "closeup_service/gear/data/threads.json",
        "closeup_service/operations/measure/scale_photo/answers.json",
        "closeup_service/pages/templates/docs.html",
        "closeup_service/pages/templates/lesson.html",
        "closeup_service/drawing/templates/sheet.html",
        "closeup_service/pages/static/css/site.css",
        "closeup_service/pages/static/embed/closeup-sum.js",
        "closeup_service/pages/static/embed/released/hashes.txt",
        "closeup_service/pages/messages/de.json",
        "closeup_client/LICENSE.txt",
        "closeup_client/operations/index.json",
        "closeup_client/operations/magnification.json",
    } <= names
    assert {name.split("/")[0] for name in names if not name.startswith("closeup_optics-")} == {
        "closeup_service",
        "closeup_client",
    }


@pytest.fixture(scope="module")
def metadata(wheel: Path) -> Metadata:
    archive = zipfile.ZipFile(wheel)
    name = next(name for name in archive.namelist() if name.endswith("METADATA"))
    return Metadata.from_email(archive.read(name))


def test_the_licence_is_stated_as_an_expression(metadata: Metadata) -> None:
    assert (metadata.license_expression, metadata.metadata_version) == ("MIT", "2.4")


def test_an_index_gets_whose_it_is_and_for_whom(metadata: Metadata) -> None:
    assert metadata.author == "The closeup-optics contributors"
    kinds = {each.partition(" :: ")[0] for each in metadata.classifiers or ()}
    assert {"Development Status", "Intended Audience", "Natural Language", "Programming Language", "Topic"} <= kinds
    assert len(metadata.classifiers or ()) == len(set(metadata.classifiers or ()))
    assert {"Homepage", "Documentation"} <= set(metadata.project_urls or ())


def test_only_the_service_is_an_extra(metadata: Metadata) -> None:
    """What tests need is nobody's business who installs."""
    assert metadata.provides_extra == ["service"]
    wanted = {str(each.marker) for each in metadata.requires_dist or () if each.marker is not None}
    assert wanted == {'extra == "service"'}


def test_no_real_host_is_named_and_no_link_needs_the_repository(metadata: Metadata) -> None:
    text = metadata.description or ""
    addresses = [*(metadata.project_urls or {}).values(), *re.findall(r"https?://[^\s)`'\"<>]+", text)]
    hosts = {urlsplit(each).hostname or "" for each in addresses}
    assert {host for host in hosts if not host.endswith(".example")} <= {"127.0.0.1", "…"}
    assert re.findall(r"\]\((?!https?://|#)[^)]*\)", text) == []
    assert len(text) > 10_000


def test_the_plain_install_brings_requests_alone(python: Path) -> None:
    script = "import importlib.metadata as m; print(sorted(d.name.lower() for d in m.distributions()))"
    shown = subprocess.run([python, "-c", script], capture_output=True, text=True, check=True).stdout
    installed = set(eval(shown)) - {"pip", "setuptools"}
    assert installed == {"closeup-optics", "requests", "urllib3", "idna", "certifi", "charset-normalizer"}


def test_the_client_imports_without_the_service_and_says_what_in_process_needs(python: Path) -> None:
    script = (
        "import closeup_client\n"
        "try:\n"
        "    closeup_client.Client.in_process()\n"
        "except closeup_client.ServiceUnreachable as error:\n"
        "    print(error)\n"
    )
    shown = subprocess.run([python, "-c", script], capture_output=True, text=True, check=True).stdout
    assert "pip install '.[service]'" in shown
