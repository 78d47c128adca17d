"""Photographs over the wire: limits, forms, media types, and one at a time; nothing is written to disk."""

import gzip
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
import requests
from flask.testing import FlaskClient
from werkzeug.formparser import default_stream_factory

from photograph_files import saved
from ruler_pictures import as_pixels, pictures, ruler
from running_service import running_service
from service_client import Service
from uploads import form, sent
from wire import chunked

PATH = "/v1/scale-reading/photo"
SMALL = "/v1/effective-f-number?f_number=8&magnification=1"
FIELDS: dict[str, Any] = {"tick_pitch_mm": 0.5}
PHOTO = pictures()["ruler.jpg"]
MEGABYTE = 1_000_000


@pytest.fixture(scope="module")
def strict(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """A service that takes a megabyte and a megapixel, in one process."""
    log = tmp_path_factory.mktemp("strict") / "log"
    limits = ("--most-upload-mb", "1", "--most-megapixels", "1")
    with running_service(log, "--workers", "1", "--threads", "6", *limits) as port:
        yield Service(f"http://127.0.0.1:{port}", port)


def post(service: Service, content: bytes, **fields: object) -> tuple[int, dict[str, object], str]:
    body, media_type = form(FIELDS | fields, [content])
    answer = service.ask("POST", PATH, data=body, headers={"Content-Type": media_type})
    return answer.status_code, answer.json(), answer.headers["Content-Type"]


def head(media_type: str, framing: str) -> bytes:
    return f"POST {PATH} HTTP/1.1\r\nHost: localhost\r\nContent-Type: {media_type}\r\n{framing}\r\n\r\n".encode()


def in_chunks(body: bytes, size: int = 65536) -> bytes:
    return chunked(*(body[place : place + size] for place in range(0, len(body), size)))


def test_a_photograph_over_the_limit_of_other_bodies_is_read(service: Service) -> None:
    """L02"""
    padded = PHOTO + b"\x00" * 3 * MEGABYTE
    status, answer, _ = post(service, padded)
    assert status == 200, answer


def test_other_bodies_keep_their_limit(service: Service) -> None:
    """L01"""
    assert service.post("/v1/scale-bar", b'{"a": "' + b" " * 2 * MEGABYTE + b'"}').status_code == 413


def test_an_upload_over_the_limit_is_refused(strict: Service) -> None:
    """L01 L09"""
    status, problem, kind = post(strict, PHOTO + b"\x00" * 2 * MEGABYTE)
    assert (status, problem["type"], kind) == (413, "/problems/content-too-large", "application/problem+json")


def test_an_upload_declared_over_the_limit_is_refused_before_it_is_sent(strict: Service) -> None:
    """L01"""
    with strict.wire() as wire:
        wire.send(head("multipart/form-data; boundary=a", f"Content-Length: {10**9}"))
        assert wire.answer("POST").status == 413


def test_a_chunked_upload_over_the_limit_is_refused(strict: Service) -> None:
    """L01"""
    body, media_type = form(FIELDS, [PHOTO + b"\x00" * 2 * MEGABYTE])
    with strict.wire() as wire:
        wire.send(head(media_type, "Transfer-Encoding: chunked") + in_chunks(body))
        assert wire.answer("POST").status == 413


def test_a_chunked_upload_is_read_like_any_other(service: Service) -> None:
    """L01"""
    body, media_type = form(FIELDS, [PHOTO])
    with service.wire() as wire:
        wire.send(head(media_type, "Transfer-Encoding: chunked") + in_chunks(body))
        assert wire.answer("POST").status == 200


def test_a_photograph_of_too_many_pixels_is_refused(strict: Service) -> None:
    """L01"""
    status, problem, _ = post(strict, PHOTO)  # 1500 x 1000
    assert (status, problem["type"]) == (413, "/problems/content-too-large")
    assert "1500 x 1000 pixels; up to 1 megapixels" in str(problem["detail"])
    assert problem["errors"] == [{"pointer": "/photo", "detail": problem["detail"]}]


def test_too_many_parts_and_fields_too_long_are_refused(service: Service) -> None:
    """L01 J07"""
    many, kind = form({f"field{number}": "1" for number in range(300)}, [])
    assert service.ask("POST", PATH, data=many, headers={"Content-Type": kind}).status_code == 413
    long, kind = form({"tick_pitch_mm": "1" * 300_000}, [])
    assert service.ask("POST", PATH, data=long, headers={"Content-Type": kind}).status_code == 413


def test_after_a_refusal_the_connection_stays_in_step(strict: Service) -> None:
    """L05"""
    body, media_type = form(FIELDS, [b"no photograph"])
    with strict.wire() as wire:
        wire.send(head(media_type, f"Content-Length: {len(body)}") + body)
        assert wire.answer("POST").status == 422
        wire.send(f"GET {SMALL} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
        assert wire.answer().status == 200


@pytest.mark.parametrize(
    "media_type", ["application/json", "text/plain", "image/jpeg", "application/x-www-form-urlencoded", ""]
)
def test_other_media_types_are_refused_with_the_one_that_is_read(service: Service, media_type: str) -> None:
    """S15"""
    answer = service.ask("POST", PATH, data=b"{}", headers={"Content-Type": media_type})
    assert answer.status_code == 415
    assert answer.headers["Accept"] == "multipart/form-data"
    assert answer.json()["type"] == "/problems/unsupported-media-type"


def test_a_form_is_refused_where_json_is_read(service: Service) -> None:
    """S15"""
    body, media_type = form({"f_number": 8, "magnification": 1}, [])
    answer = service.ask("POST", "/v1/effective-f-number", data=body, headers={"Content-Type": media_type})
    assert (answer.status_code, answer.headers["Accept"]) == (415, "application/json")


def test_a_compressed_form_is_refused(service: Service) -> None:
    """S17"""
    body, media_type = form(FIELDS, [PHOTO])
    headers = {"Content-Type": media_type, "Content-Encoding": "gzip"}
    answer = service.ask("POST", PATH, data=gzip.compress(body), headers=headers)
    assert (answer.status_code, answer.headers["Accept-Encoding"]) == (415, "identity")


def test_the_media_type_may_be_written_in_any_case(service: Service) -> None:
    """S16"""
    body, media_type = form(FIELDS, [PHOTO])
    given = media_type.replace("multipart/form-data", "Multipart/Form-Data")
    assert service.ask("POST", PATH, data=body, headers={"Content-Type": given}).status_code == 200


BODY, KIND = form(FIELDS, [PHOTO])


@pytest.mark.parametrize(
    ("body", "media_type"),
    [
        (BODY, "multipart/form-data"),
        (BODY, "multipart/form-data; boundary="),
        (BODY, "multipart/form-data; boundary=another"),
        (BODY[:-6], KIND),
        (BODY[: len(BODY) // 2], KIND),
        (b"", KIND),
        (b"nothing of the kind", KIND),
        (BODY.replace(b"Content-Disposition", b"Content-Position"), KIND),
        form({"a" * 2000: "1"}, []),
    ],
    ids=["no boundary", "empty", "another", "no end", "half", "nothing", "text", "no disposition", "long name"],
)
def test_broken_forms_are_refused(service: Service, body: bytes, media_type: str) -> None:
    """J04 J06"""
    # a connection of its own: what the server did not read of a body ends the one before
    answer = requests.post(service.url + PATH, data=body, headers={"Content-Type": media_type}, timeout=20)
    assert answer.status_code == 400
    assert answer.json()["type"] in ("/problems/not-multipart", "/problems/bad-request")
    assert answer.headers["Content-Type"] == "application/problem+json"


def test_the_declared_type_and_name_of_a_file_do_not_matter(service: Service) -> None:
    """S15"""
    for name, kind in (
        ("ruler.exe", "application/x-msdownload"),
        ("../../etc/passwd", "text/html"),
        ("a\u0142.png", "image/png"),
    ):
        answer = service.ask("POST", PATH, data=FIELDS, files={"photo": (name, PHOTO, kind)})
        assert answer.status_code == 200, answer.text
        assert "passwd" not in answer.text


def test_get_is_refused_with_what_is_allowed(service: Service) -> None:
    """S04"""
    answer = service.get(PATH)
    assert answer.status_code == 405
    assert {method.strip() for method in answer.headers["Allow"].split(",")} == {"POST", "OPTIONS"}


def test_the_same_photograph_gives_the_same_bytes(service: Service) -> None:
    """S06"""
    assert len({service.ask("POST", PATH, data=BODY, headers={"Content-Type": KIND}).content for _ in range(3)}) == 1


def test_answers_about_photographs_are_not_kept(service: Service) -> None:
    """S09"""
    answer = service.ask("POST", PATH, data=BODY, headers={"Content-Type": KIND})
    assert answer.headers["Cache-Control"] == "no-store"
    assert "ETag" not in answer.headers


@pytest.mark.parametrize(("wait_s", "expected"), [("0", {200, 503}), ("15", {200})])
def test_of_many_photographs_at_once_each_waits_or_comes_again_and_small_requests_are_answered(
    tmp_path: Path, wait_s: str, expected: set[int]
) -> None:
    """L08"""
    options = ("--workers", "1", "--threads", "16", "--photograph-wait-s", wait_s)
    with running_service(tmp_path / "log", *options) as port:
        check_many_at_once(Service(f"http://127.0.0.1:{port}", port), expected)


def check_many_at_once(strict: Service, expected: set[int]) -> None:
    """Of 24 requests, eight at once, every other one sends a photograph."""
    photograph = saved(as_pixels(ruler(1150, 860, 80.0)), "JPEG")
    body, media_type = form(FIELDS, [photograph])

    def ask(number: int) -> tuple[int, str]:
        service = Service(strict.url, strict.port)
        if number % 2:
            return service.get(SMALL).status_code, "small"
        answer = service.ask("POST", PATH, data=body, headers={"Content-Type": media_type})
        assert answer.status_code != 503 or int(answer.headers["Retry-After"]) > 0
        return answer.status_code, "photograph"

    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(ask, range(24)))
    assert {status for status, kind in answers if kind == "small"} == {200}
    assert {status for status, kind in answers if kind == "photograph"} == expected


def test_nothing_is_written_to_disk(api: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", "/nowhere/at/all")
    large = PHOTO + b"\x00" * 3 * MEGABYTE
    with pytest.raises(FileNotFoundError), default_stream_factory(None, None, None) as usual:
        usual.write(large)  # what a file part would go to without our own place for it
    assert sent(api, PATH, [large], **FIELDS).status_code == 200
