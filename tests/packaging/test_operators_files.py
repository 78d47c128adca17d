"""What operators take over: rules of alert, an example of scraping, a unit of systemd, each checked by its own checker."""

import re
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import requests
import yaml
from flask.testing import FlaskClient

from closeup_service.operations.registry import operations
from closeup_service.running.exit_codes import EXIT_CODES
from closeup_service.running.settings import Settings
from operators_checkers import NO_PROMTOOL, NO_SYSTEMD, PROMTOOL, SYSTEMD_ANALYZE
from running_service import COMMAND, LONGEST_END_S, LONGEST_START_S, clean_environment, free_port

DOCKER = Path(__file__).parents[2] / "docker"
PROMETHEUS = DOCKER / "prometheus"
ALERTS = (PROMETHEUS / "alerts.yaml").read_text(encoding="utf-8")
UNIT = (DOCKER / "systemd" / "closeup.service").read_text(encoding="utf-8")
COMPOSE: dict[str, Any] = yaml.safe_load((DOCKER / "compose.yaml").read_text(encoding="utf-8"))
INSTALLED = "/opt/closeup/venv/bin/closeup-service"


def rules() -> list[dict[str, Any]]:
    return [rule for group in yaml.safe_load(ALERTS)["groups"] for rule in group["rules"]]


def of_unit(name: str) -> list[str]:
    return re.findall(rf"^{name}=(.*)$", UNIT, re.MULTILINE)


@pytest.mark.skipif(PROMTOOL is None, reason=NO_PROMTOOL)
@pytest.mark.parametrize(
    "arguments",
    [("check", "rules", "alerts.yaml"), ("check", "config", "prometheus.yaml"), ("test", "rules", "alerts.test.yaml")],
    ids=" ".join,
)
def test_prometheus_reads_the_rules_and_they_fire_when_they_should(arguments: tuple[str, ...]) -> None:
    ended = subprocess.run(
        [str(PROMTOOL), *arguments], cwd=PROMETHEUS, capture_output=True, text=True, timeout=60, check=False
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr


def test_every_alert_is_tested_to_fire_and_not_to() -> None:
    sound, wrong = yaml.safe_load((PROMETHEUS / "alerts.test.yaml").read_text(encoding="utf-8"))["tests"]
    names = {rule["alert"] for rule in rules()}
    assert {each["alertname"] for each in sound["alert_rule_test"] if not each["exp_alerts"]} == names
    assert {each["alertname"] for each in wrong["alert_rule_test"] if each["exp_alerts"]} == names


def test_every_metric_and_operation_of_the_alerts_is_there(service_url: str) -> None:
    told = requests.get(f"{service_url}/metrics", timeout=20).text
    there = set(re.findall(r"^(closeup_\w+)", told, re.MULTILINE))
    assert set(re.findall(r"closeup_\w+", " ".join(rule["expr"] for rule in rules()))) <= there
    (named,) = re.findall(r'operation!~"([^"]+)"', ALERTS)
    assert set(named.split("|")) == {each.operation_id for each in operations() if each.takes_photographs}
    assert f"/ ({Settings().threads} * closeup_workers)" in ALERTS


def test_the_example_scrapes_every_copy_of_the_compose_file() -> None:
    example = yaml.safe_load((PROMETHEUS / "prometheus.yaml").read_text(encoding="utf-8"))
    (job,) = example["scrape_configs"]
    (group,) = job["static_configs"]
    assert set(group["targets"]) == {f"{name}:8000" for name in COMPOSE["services"] if name != "proxy"}
    assert f'job="{job["job_name"]}"' in ALERTS


@pytest.mark.skipif(SYSTEMD_ANALYZE is None, reason=NO_SYSTEMD)
def test_systemd_reads_every_line_of_the_unit(tmp_path: Path) -> None:
    unit = tmp_path / "closeup.service"
    unit.write_text(UNIT.replace(INSTALLED, COMMAND), encoding="utf-8")
    ended = subprocess.run(
        [str(SYSTEMD_ANALYZE), "verify", str(unit)], capture_output=True, text=True, timeout=60, check=False
    )
    assert (ended.returncode, [line for line in ended.stderr.splitlines() if unit.name in line]) == (0, [])


def test_the_unit_knows_how_the_service_ends_and_what_it_needs() -> None:
    assert of_unit("ExecStart") == [INSTALLED]
    (never_again,) = of_unit("RestartPreventExitStatus")
    assert set(map(int, never_again.split())) == set(EXIT_CODES) - {0}
    (longest,) = of_unit("TimeoutStopSec")
    copy = COMPOSE["services"]["closeup-a"]
    assert f"{longest}s" == copy["stop_grace_period"]
    assert of_unit("MemoryMax") == [copy["mem_limit"].upper()]
    assert of_unit("TasksMax") == [str(copy["pids_limit"])]


def test_the_running_page_says_what_to_back_up(api: FlaskClient) -> None:
    text = api.get("/running").text
    assert "There is nothing to back up but the kit file and your settings." in text
    assert text.index('id="backup"') < text.index("nothing to back up")


@contextmanager
def notified(place: Path) -> Iterator[socket.socket]:
    """Listen as systemd does."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as listening:
        listening.bind(str(place))
        listening.settimeout(LONGEST_START_S)
        yield listening


def test_the_service_says_when_it_is_ready_as_the_unit_expects(tmp_path: Path) -> None:
    assert of_unit("Type") == ["notify"]
    place = tmp_path / "notify"
    with notified(place) as listening, (tmp_path / "log").open("wb") as log:
        environment = clean_environment(NOTIFY_SOCKET=str(place))
        service = subprocess.Popen([COMMAND, "--port", str(free_port())], stdout=log, stderr=log, env=environment)
        try:
            assert listening.recv(4096).startswith(b"READY=1")
        finally:
            service.terminate()
            service.wait(LONGEST_END_S)
