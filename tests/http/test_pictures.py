"""Answers in other media types than JSON: chosen by Accept, kept apart by caches, refused as problems."""

import gzip
import io
import json

import pytest
from PIL import Image

from references import objects_of, written_out
from service_client import Service

PATH = "/v1/scale-bar"
QUERY = PATH + "?scale_px_per_mm=500&image_width_px=6000&scale_basis=measured"
BODY = b'{"scale_px_per_mm": 500, "image_width_px": 6000, "scale_basis": "measured"}'
JSON, SVG, PNG = "application/json", "image/svg+xml", "image/png"
IMG = "image/avif,image/webp,image/png,image/svg+xml,image/*,*/*;q=0.8"
"""What a browser sends for an img element."""
NAVIGATION = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"


@pytest.mark.parametrize(
    ("accepted", "given"),
    [
        ("*/*", JSON),
        (JSON, JSON),
        (NAVIGATION, JSON),
        ("application/json, image/svg+xml", JSON),
        ("image/svg+xml", SVG),
        ("IMAGE/SVG+XML; charset=utf-8", SVG),
        (IMG, SVG),
        ("image/*", SVG),
        ("image/png", PNG),
        ("image/png, image/svg+xml;q=0.9, */*;q=0.1", PNG),
        ("image/svg+xml;q=0, image/*", PNG),
        ("application/json;q=0.2, image/png;q=0.3", PNG),
        ("application/json;q=0, */*", SVG),
    ],
)
def test_the_best_liked_media_type_is_given(service: Service, accepted: str, given: str) -> None:
    """S12"""
    for answer in (
        service.get(QUERY, headers={"Accept": accepted}),
        service.post(PATH, BODY, Accept=accepted),
    ):
        assert answer.status_code == 200
        assert answer.headers["Content-Type"] == given


@pytest.mark.parametrize("accepted", ["text/html", "image/webp", "image/*;q=0", "application/json;q=0, image/gif"])
def test_nothing_acceptable_is_a_problem(service: Service, accepted: str) -> None:
    """S13"""
    for answer in (service.get(QUERY, headers={"Accept": accepted}), service.post(PATH, BODY, Accept=accepted)):
        assert answer.status_code == 406
        assert answer.headers["Content-Type"] == "application/problem+json"


@pytest.mark.parametrize("accepted", [SVG, PNG])
def test_an_address_that_gives_no_pictures_refuses_them(service: Service, accepted: str) -> None:
    """S13"""
    query = "/v1/effective-f-number?f_number=8&magnification=1"
    assert service.get(query, headers={"Accept": accepted}).status_code == 406


@pytest.mark.parametrize("accepted", [SVG, PNG, IMG])
def test_an_error_is_a_problem_whatever_picture_was_wanted(service: Service, accepted: str) -> None:
    """S14"""
    answer = service.get(PATH, headers={"Accept": accepted})
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.json()["type"] == "/problems/invalid-fields"


def test_each_media_type_has_its_own_tag_and_caches_are_told(service: Service) -> None:
    """S07 S11"""
    answers = [service.get(QUERY, headers={"Accept": accepted}) for accepted in (JSON, SVG, PNG)]
    assert len({answer.headers["ETag"] for answer in answers}) == 3
    for answer in answers:
        assert "Accept" in [name.strip() for name in answer.headers["Vary"].split(",")]
        assert "max-age=" in answer.headers["Cache-Control"]


def test_an_address_of_json_alone_does_not_vary_by_accept(service: Service) -> None:
    """S11"""
    assert "Vary" not in service.get("/v1/effective-f-number?f_number=8&magnification=1").headers


@pytest.mark.parametrize("accepted", [JSON, SVG, PNG])
def test_what_the_client_has_is_not_sent_again_but_another_media_type_is(service: Service, accepted: str) -> None:
    """S08"""
    tag = service.get(QUERY, headers={"Accept": accepted}).headers["ETag"]
    for wanted in (JSON, SVG, PNG):
        answer = service.get(QUERY, headers={"Accept": wanted, "If-None-Match": tag})
        assert answer.status_code == (304 if wanted == accepted else 200)
        assert "Accept" in answer.headers["Vary"]
        assert bool(answer.content) == (wanted != accepted)


@pytest.mark.parametrize("accepted", [JSON, SVG, PNG])
def test_head_mirrors_get_without_content(service: Service, accepted: str) -> None:
    """S02"""
    got = service.get(QUERY, headers={"Accept": accepted})
    head = service.ask("HEAD", QUERY, headers={"Accept": accepted})
    assert head.status_code == 200
    assert head.content == b""
    for name in ("Content-Type", "Content-Length", "ETag", "Cache-Control", "Vary"):
        assert head.headers.get(name) == got.headers.get(name), name


@pytest.mark.parametrize("accepted", [SVG, PNG])
def test_get_and_post_give_the_same_bytes_every_time(service: Service, accepted: str) -> None:
    """S06"""
    got = {service.get(QUERY, headers={"Accept": accepted}).content for _ in range(4)}
    assert len(got | {service.post(PATH, BODY, Accept=accepted).content}) == 1


def test_a_posted_picture_is_not_kept(service: Service) -> None:
    """S09"""
    assert service.post(PATH, BODY, Accept=SVG).headers["Cache-Control"] == "no-store"


def test_a_picture_that_is_compressed_already_is_not_compressed_again(service: Service) -> None:
    """S11"""
    headers = {"Accept": PNG, "Accept-Encoding": "gzip"}
    answer = service.get(QUERY, headers=headers)
    assert len(answer.content) > 1024
    assert "Content-Encoding" not in answer.headers
    assert Image.open(io.BytesIO(answer.content)).format == "PNG"
    told = service.ask("GET", QUERY, headers={"Accept": JSON, "Accept-Encoding": "gzip"}, stream=True)
    assert told.headers["Content-Encoding"] == "gzip"
    assert told.headers["Vary"] == "Accept, Accept-Encoding"
    assert json.loads(gzip.decompress(told.raw.read(decode_content=False)))["bar_length_um"] == 2000


@pytest.mark.parametrize("accepted", [SVG, PNG])
def test_a_picture_bears_the_protective_headers(service: Service, accepted: str) -> None:
    """H03 H04"""
    answer = service.get(QUERY, headers={"Accept": accepted})
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["Cross-Origin-Resource-Policy"] == "cross-origin"
    assert answer.headers["Access-Control-Allow-Origin"] == "*"


def test_every_media_type_that_is_given_is_documented(service: Service) -> None:
    """P05"""
    published = service.get("/openapi.json").json()
    document = written_out(published, objects_of(published))
    for method in ("get", "post"):
        content = document["paths"][PATH][method]["responses"]["200"]["content"]
        assert list(content) == [JSON, SVG, PNG]
    assert "image/svg+xml" in service.get("/docs/drawScaleBar").text
