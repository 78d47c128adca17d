"""The image, the compose files and the cluster's manifest agree with each other, with the proxy and with the service."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml

from closeup_service.operations.registry import operations
from closeup_service.running.settings import Settings, variable

TOP = Path(__file__).parents[2]
DOCKER = TOP / "docker"
DOCKERFILE = (DOCKER / "Dockerfile").read_text(encoding="utf-8")
COMPOSE: dict[str, Any] = yaml.safe_load((DOCKER / "compose.yaml").read_text(encoding="utf-8"))
SINGLE: dict[str, Any] = yaml.safe_load((DOCKER / "compose.single.yaml").read_text(encoding="utf-8"))
MANIFEST: dict[str, Any] = {
    each["kind"]: each for each in yaml.safe_load_all((DOCKER / "kubernetes.yaml").read_text(encoding="utf-8"))
}
POD = MANIFEST["Deployment"]["spec"]["template"]["spec"]
(CONTAINER,) = POD["containers"]
KIT_FOLDER = "/etc/closeup/kit"
OF_THE_CONTAINER = {"CLOSEUP_HOST", "CLOSEUP_PORT"}
"""What compose files use for addresses on the machine; within the container the image says it."""
COPIES = ("closeup-a", "closeup-b")


def stated(word: str) -> str:
    """What the Dockerfile says after a word at the beginning of a line."""
    found = re.search(rf"^{word} (\S+)", DOCKERFILE, re.MULTILINE)
    assert found is not None
    return found[1]


def test_both_copies_are_confined_as_the_single_one_is() -> None:
    names = (
        "read_only",
        "tmpfs",
        "cap_drop",
        "security_opt",
        "mem_limit",
        "pids_limit",
        "stop_grace_period",
        "restart",
    )
    for name in COPIES:
        copy = COMPOSE["services"][name]
        assert {each: copy[each] for each in names} == {each: SINGLE["services"]["closeup"][each] for each in names}


def test_the_proxy_is_confined_too() -> None:
    proxy = COMPOSE["services"]["proxy"]
    assert (proxy["read_only"], proxy["cap_drop"], proxy["security_opt"]) == (True, ["ALL"], ["no-new-privileges:true"])
    assert int(proxy["user"].partition(":")[0]) > 10000
    assert all(each.endswith(":ro") for each in proxy["volumes"])
    assert {"mem_limit", "pids_limit", "stop_grace_period", "healthcheck"} <= set(proxy)


def test_the_copies_have_no_way_out_and_are_reached_by_the_proxy_alone() -> None:
    assert COMPOSE["networks"]["inner"]["internal"] is True
    for name in COPIES:
        assert list(COMPOSE["services"][name]["networks"]) == ["inner"]
        assert "ports" not in COMPOSE["services"][name]
    assert [each.partition(":")[0] for each in COMPOSE["services"]["proxy"]["ports"]] == ["${CLOSEUP_BIND"]


def test_the_proxy_asks_the_copies_where_they_listen() -> None:
    settings = (DOCKER / "nginx" / "settings" / "copies.conf").read_text(encoding="utf-8")
    (alias,) = COMPOSE["services"]["closeup-a"]["networks"]["inner"]["aliases"]
    assert f"default {alias}:{stated('EXPOSE')};" in settings
    assert "${CLOSEUP_BIND:-127.0.0.1}:${CLOSEUP_PORT:-8000}:8080" in COMPOSE["services"]["proxy"]["ports"]


def test_the_proxy_takes_bodies_at_the_addresses_where_the_service_does() -> None:
    site = (DOCKER / "nginx" / "site.conf").read_text(encoding="utf-8")
    named = set(re.findall(r"^location = (/v1\S+)", site, re.MULTILINE))
    usual = min(each.most_content_bytes for each in operations())
    assert named == {each.path for each in operations() if each.takes_photographs or each.most_content_bytes > usual}


def heavy(path: str) -> bool:
    """Whether the proxy counts what is asked at this address among the heavy."""
    site = (DOCKER / "nginx" / "site.conf").read_text(encoding="utf-8")
    places = re.findall(r"^location (=|~) (\S+) \{\n([^}]*)\}", site, re.MULTILINE)
    marked = [(kind, place) for kind, place, inside in places if re.search(r"include (heavy|upload)\.conf", inside)]
    return any(path == place if kind == "=" else re.search(place, path) for kind, place in marked)


def test_the_proxy_counts_what_takes_a_thread_for_long() -> None:
    """Whatever is nested, has photographs, or is answered for many possible lenses."""
    nested = {each.path for each in operations() if each.request_type is not None and each.by_query != "fields"}
    estimated = {each.path for each in operations() if each.most_members is not None}
    photographs = {each.path for each in operations() if each.takes_photographs}
    long = {"/v1/lens-estimate", "/v1/ring-chains", "/v1/kit"}
    assert {each.path for each in operations() if heavy(each.path)} == nested | estimated | photographs | long
    assert heavy("/tasks/find-set-up")
    assert not any(map(heavy, ("/", "/healthz", "/docs", "/physics", "/pages/site.css", "/v1/cautions")))


def test_one_address_cannot_take_every_thread_of_one_copy() -> None:
    limits = (DOCKER / "nginx" / "settings" / "limits.conf").read_text(encoding="utf-8")
    given = COMPOSE["services"]["closeup-a"]["environment"]
    assert (given["CLOSEUP_WORKERS"], given["CLOSEUP_THREADS"]) == ("${CLOSEUP_WORKERS:-}", "${CLOSEUP_THREADS:-}")
    (most,) = re.findall(r"^limit_conn heavy (\d+);", limits, re.MULTILINE)
    assert int(most) < Settings().workers * Settings().threads


def test_the_manifest_runs_the_image_as_it_was_built() -> None:
    user, group = stated("USER").split(":")
    assert POD["securityContext"] == {
        "runAsNonRoot": True,
        "runAsUser": int(user),
        "runAsGroup": int(group),
        "seccompProfile": {"type": "RuntimeDefault"},
    }
    assert CONTAINER["securityContext"] == {
        "allowPrivilegeEscalation": False,
        "readOnlyRootFilesystem": True,
        "capabilities": {"drop": ["ALL"]},
    }
    assert [each["containerPort"] for each in CONTAINER["ports"]] == [int(stated("EXPOSE"))]
    version = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    assert CONTAINER["image"] == f"closeup-optics:{version}"
    assert [each["mountPath"] for each in CONTAINER["volumeMounts"]] == ["/tmp", KIT_FOLDER]


def test_the_manifest_asks_what_tells_of_life_and_readiness() -> None:
    paths = {name: CONTAINER[f"{name}Probe"]["httpGet"]["path"] for name in ("startup", "readiness", "liveness")}
    assert paths == {"startup": "/readyz", "readiness": "/readyz", "liveness": "/healthz"}


def test_all_parts_of_the_manifest_mean_the_same_pods() -> None:
    labels = MANIFEST["Deployment"]["spec"]["template"]["metadata"]["labels"]
    assert MANIFEST["Deployment"]["spec"]["selector"]["matchLabels"] == labels
    assert MANIFEST["Service"]["spec"]["selector"] == labels
    assert MANIFEST["PodDisruptionBudget"]["spec"]["selector"]["matchLabels"] == labels
    assert MANIFEST["NetworkPolicy"]["spec"]["podSelector"]["matchLabels"] == labels
    target = MANIFEST["HorizontalPodAutoscaler"]["spec"]["scaleTargetRef"]
    assert (target["kind"], target["name"]) == ("Deployment", MANIFEST["Deployment"]["metadata"]["name"])


def test_no_variable_of_the_cluster_is_taken_for_a_setting() -> None:
    """A service of the name closeup would set CLOSEUP_PORT to tcp://…, which ends the service at its start."""
    assert POD["enableServiceLinks"] is False
    known = {variable(name) for name in Settings.__struct_fields__}
    given = {each["name"] for each in CONTAINER["env"]} | set(COMPOSE["services"]["closeup-a"]["environment"])
    assert given <= known


@pytest.mark.parametrize("copy", [SINGLE["services"]["closeup"], *(COMPOSE["services"][name] for name in COPIES)])
def test_every_setting_is_passed_on_where_it_is_set(copy: dict[str, Any]) -> None:
    names = {variable(name) for name in Settings.__struct_fields__} - OF_THE_CONTAINER
    assert copy["environment"] == {name: f"${{{name}:-}}" for name in names}


@pytest.mark.parametrize("copy", [SINGLE["services"]["closeup"], *(COMPOSE["services"][name] for name in COPIES)])
def test_the_folder_of_the_kit_is_mounted_and_not_its_file(copy: dict[str, Any]) -> None:
    """A single file stays the old one when an editor puts another in its place."""
    assert copy["volumes"] == [f"${{CLOSEUP_KIT_FOLDER:-./kit}}:{KIT_FOLDER}:ro"]
    assert (DOCKER / "kit").is_dir()


def test_the_cluster_mounts_the_folder_of_the_kit_and_takes_every_setting() -> None:
    (mount,) = [each for each in CONTAINER["volumeMounts"] if each["mountPath"] == KIT_FOLDER]
    assert mount["readOnly"] is True
    assert "subPath" not in mount
    (volume,) = [each for each in POD["volumes"] if each["name"] == mount["name"]]
    assert volume["configMap"]["optional"] is True
    assert [each["configMapRef"]["optional"] for each in CONTAINER["envFrom"]] == [True]


@pytest.mark.parametrize("kind", ["Deployment", "HorizontalPodAutoscaler"])
def test_only_the_autoscaler_says_how_many_there_are(kind: str) -> None:
    assert ("replicas" in MANIFEST[kind]["spec"]) is False
    assert MANIFEST["HorizontalPodAutoscaler"]["spec"]["minReplicas"] >= 2


def test_a_copy_has_time_to_answer_what_is_under_way() -> None:
    wait_s = int(CONTAINER["lifecycle"]["preStop"]["exec"]["command"][1])
    serve = (TOP / "service" / "closeup_service" / "http" / "serve.py").read_text(encoding="utf-8")
    found = re.search(r'"graceful_timeout": (\d+)', serve)
    assert found is not None
    graceful_s = int(found[1])
    assert POD["terminationGracePeriodSeconds"] > wait_s + graceful_s
    assert int(COMPOSE["services"]["closeup-a"]["stop_grace_period"].rstrip("s")) > graceful_s
