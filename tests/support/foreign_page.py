"""Another site on the loopback interface: one page under a strict content security policy, on a port of its own."""

import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import MappingProxyType


@contextmanager
def foreign_page(html: str, policy: str, headers: Mapping[str, str] = MappingProxyType({})) -> Iterator[str]:
    """Serve a page with these headers; yields its address."""

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            body = b"" if self.path == "/favicon.ico" else html.encode()
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Security-Policy", policy)
            for name, value in headers.items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            del format, args

    server = ThreadingHTTPServer(("127.0.0.1", 0), Page)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def strict(service: str) -> str:
    """Policy of a page that allows the service alone, and nothing unsafe."""
    return (
        f"default-src 'none'; script-src {service}; connect-src {service}; frame-src {service}; form-action {service}"
    )


def images(service: str) -> str:
    """Policy of a page that lets in images of the service alone."""
    return f"default-src 'none'; img-src {service}"


def document(body: str, language: str = "en", direction: str = "ltr") -> str:
    """Whole page around a body."""
    return (
        f'<!doctype html><html lang="{language}" dir="{direction}"><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width"><title>Saltmarsh group</title>{body}</html>'
    )
