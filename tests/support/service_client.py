"""Requests to the running service, by a session and by bare connections."""

import requests

from wire import Wire


class Service:
    """The running service: `ask` by requests, `wire` by a bare connection."""

    def __init__(self, url: str, port: int) -> None:
        self.url = url
        self.port = port
        self.session = requests.Session()
        self.session.trust_env = False
        self.session.headers["Connection"] = "close"  # a kept connection may be closed just as a late test takes it up

    def ask(self, method: str, path: str, **options: object) -> requests.Response:
        return self.session.request(method, self.url + path, timeout=20, allow_redirects=False, **options)  # type: ignore[arg-type]

    def get(self, path: str, **options: object) -> requests.Response:
        return self.ask("GET", path, **options)

    def post(self, path: str, body: bytes, **headers: str) -> requests.Response:
        sent = {"Content-Type": "application/json"} | {name.replace("_", "-"): value for name, value in headers.items()}
        return self.ask("POST", path, data=body, headers=sent)

    def wire(self) -> Wire:
        return Wire(self.port)
