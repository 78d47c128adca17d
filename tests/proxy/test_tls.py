"""The encrypted server, with a certificate of the test's own."""

import http.client
import shutil
import ssl
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from running_proxy import Proxy, command, laid_out, running_proxy
from wire import Wire

OPENSSL = shutil.which("openssl")
pytestmark = pytest.mark.skipif(OPENSSL is None, reason="openssl makes the certificate")


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("certificate")
    key, chain = folder / "privkey.pem", folder / "fullchain.pem"
    line = [str(OPENSSL), "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost"]
    subprocess.run([*line, "-keyout", key, "-out", chain], check=True, capture_output=True)
    return folder


@pytest.fixture(scope="module")
def encrypted(tmp_path_factory: pytest.TempPathFactory, service_port: int, certificate: Path) -> Iterator[Proxy]:
    folder = tmp_path_factory.mktemp("encrypted") / "root"
    with running_proxy(folder, [service_port], certificate=certificate) as proxy:
        yield proxy


def context(certificate: Path) -> ssl.SSLContext:
    made = ssl.create_default_context(cafile=str(certificate / "fullchain.pem"))
    made.check_hostname = False
    return made


def status(port: int, path: str, made: ssl.SSLContext) -> int:
    connection = http.client.HTTPSConnection("127.0.0.1", port, context=made, timeout=20)
    connection.request("GET", path)
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer.status


def test_it_answers_as_the_plain_one(encrypted: Proxy, certificate: Path) -> None:
    paths = {"/v1/cautions": 200, "/metrics": 404, "/nothing": 404}
    assert {path: status(encrypted.tls_port, path, context(certificate)) for path in paths} == paths


def test_old_protocols_are_refused(encrypted: Proxy, certificate: Path) -> None:
    modern = context(certificate)
    modern.minimum_version = ssl.TLSVersion.TLSv1_3
    assert status(encrypted.tls_port, "/healthz", modern) == 200
    old = context(certificate)
    old.set_ciphers("ALL:@SECLEVEL=0")
    with pytest.warns(DeprecationWarning, match="TLSVersion"):
        old.minimum_version, old.maximum_version = ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1
    with pytest.raises((ssl.SSLError, ConnectionError)):
        status(encrypted.tls_port, "/healthz", old)


def test_plain_http_to_the_encrypted_port_is_a_problem(encrypted: Proxy) -> None:
    with Wire(encrypted.tls_port).send(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n") as wire:
        answer = wire.answer()
    assert (answer.status, answer.headers["Content-Type"]) == (400, "application/problem+json")


def test_the_plain_port_leads_to_the_encrypted_one(encrypted: Proxy) -> None:
    for method, host in (("GET", "club.example"), ("POST", "Club.example:8080")):
        with Wire(encrypted.port).send(
            f"{method} /de/v1/cautions?a=%20b HTTP/1.1\r\nHost: {host}\r\n\r\n".encode()
        ) as wire:
            answer = wire.answer(method)
        assert (answer.status, answer.headers["Location"]) == (308, "https://club.example:8443/de/v1/cautions?a=%20b")


def test_the_plain_port_leads_nowhere_else(encrypted: Proxy) -> None:
    for request in (b'GET / HTTP/1.1\r\nHost: a"><x\r\n\r\n', b"nonsense\r\n\r\n"):
        with Wire(encrypted.port).send(request) as wire:
            answer = wire.answer()
        assert (answer.status, answer.headers["Location"]) == (400, None)
        assert answer.headers["Content-Type"] == "application/problem+json"


def test_the_shipped_files_are_well_formed(tmp_path: Path, certificate: Path) -> None:
    """`nginx -t`, plain and encrypted."""
    for name, folder in (("plain", None), ("encrypted", certificate)):
        root = tmp_path / name
        root.mkdir()
        laid_out(root, [9], {}, folder)
        ended = subprocess.run([*command(root), "-t"], capture_output=True, text=True, timeout=60, check=False)
        assert ended.returncode == 0, ended.stderr


@pytest.mark.parametrize("missing", ["fullchain.pem", "privkey.pem"])
def test_a_missing_file_is_one_clear_line_and_the_end(tmp_path: Path, certificate: Path, missing: str) -> None:
    here = tmp_path / "certificate"
    shutil.copytree(certificate, here)
    (here / missing).unlink()
    root = tmp_path / "root"
    root.mkdir()
    laid_out(root, [9], {}, here)
    ended = subprocess.run(command(root), capture_output=True, text=True, timeout=60, check=False)
    assert ended.returncode == 1
    (line,) = ended.stderr.splitlines()
    assert missing in line
    assert "No such file" in line
