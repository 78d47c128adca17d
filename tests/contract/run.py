"""Checks the published OpenAPI document from outside, by tools that know nothing of this service.

`python tests/contract/run.py [BASE_URL]` needs the service, the packages of requirements.txt here, and Node 20.19 or
newer. Without a base address it starts the service on a free port and ends it again. Nothing is fetched but the packages
of package-lock.json. See --help for running some of the checks, and for keeping the Node packages between runs.
"""

import argparse
import contextlib
import json
import os
import shutil
import socket
import subprocess
import sys
import sysconfig
import tempfile
import time
import urllib.request
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
SUPPORT = HERE.parent / "support"
COMMITTED = HERE.parents[1] / "openapi" / "openapi.json"
QUIET = {
    "CI": "1",
    "DO_NOT_TRACK": "1",
    "NO_COLOR": "1",
    "REDOCLY_SUPPRESS_UPDATE_NOTICE": "true",
    "REDOCLY_TELEMETRY": "off",
    "SCARF_ANALYTICS": "false",
}
"""Opt-outs of the tools that would report home."""
START_S = 30
MOST_S = 2700
SHOWN_LINES = 60
WIDEST_LINE = 2000


class Finding(Exception):
    """What a check has to say."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What every check works with: the running service, its document in a file, and a folder to throw away."""

    base_url: str
    document: Path
    folder: Path
    node: Path
    examples: int
    own_service: bool

    def run(
        self,
        *command: str | Path,
        cwd: Path | None = None,
        env: Mapping[str, str] | None = None,
        good: tuple[int, ...] = (0,),
    ) -> str:
        """Run a tool away from the user's own settings; return what it wrote, or raise it as a finding."""
        surroundings = clean_environment() | QUIET | {"HOME": str(self.folder)} | dict(env or {})
        try:
            done = subprocess.run(
                [str(part) for part in command],
                cwd=cwd or self.node,
                env=surroundings,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                timeout=MOST_S,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise Finding(f"not done after {MOST_S} s") from None
        if done.returncode not in good:
            raise Finding(done.stdout or f"exit status {done.returncode}")
        return done.stdout

    def node_tool(self, name: str) -> Path:
        """Path of a tool that npm installed."""
        return self.node / "node_modules" / ".bin" / name


def clean_environment() -> dict[str, str]:
    """Return our surroundings without settings of the service."""
    return {name: value for name, value in os.environ.items() if not name.startswith("CLOSEUP_")}


def python_tool(name: str) -> Path:
    """Path of a tool that pip installed beside this Python."""
    return Path(sysconfig.get_path("scripts")) / name


def committed(bench: Bench) -> None:
    """The served document is the committed one."""
    if not COMMITTED.exists():
        raise Finding(f"{COMMITTED.name} is not there")
    served, kept = (json.loads(path.read_text(encoding="utf-8")) for path in (bench.document, COMMITTED))
    if not bench.own_service:  # its operator may have set the two
        for document in (served, kept):
            document.pop("servers"), document["info"].pop("contact")
    if served != kept:
        parts = [name for name in sorted({*served, *kept}) if served.get(name) != kept.get(name)]
        raise Finding(f"the service and the committed file differ in: {', '.join(parts)}")


def openapi(bench: Bench) -> None:
    """The document is OpenAPI 3.1."""
    bench.run(python_tool("openapi-spec-validator"), bench.document)


def spectral(bench: Bench) -> None:
    """Spectral's rules and those of OWASP's API list, warnings included."""
    bench.run(
        bench.node_tool("spectral"), "lint", bench.document, "--ruleset", ".spectral.yaml", "--fail-severity", "hint"
    )


def redocly(bench: Bench) -> None:
    """Redocly's recommended rules, all as errors."""
    bench.run(bench.node_tool("redocly"), "lint", bench.document, "--config", "redocly.yaml", "--format", "stylish")


def ibm(bench: Bench) -> None:
    """IBM's rules, warnings included."""
    options = ("--json", "--no-colors", "--file-only-refs", "--warnings-limit", "0", "--ruleset", "ibm.js")
    written = bench.run(bench.node_tool("lint-openapi"), *options, bench.document, good=(0, 1))
    try:
        result = json.loads(written[max(written.find("{"), 0) :])  # lines about limits may come before it
    except json.JSONDecodeError:
        raise Finding(written) from None
    found = [one for severity in ("error", "warning") for one in result[severity]["results"]]
    if found:
        raise Finding("\n".join(f"{one['rule']}: {one['message']} at {'/'.join(one['path'])}" for one in found))


def schemathesis(bench: Bench) -> None:
    """Requests made from the document, good and bad: every answer is as the document says."""
    bench.run(
        python_tool("schemathesis"),
        "--config-file",
        HERE / "schemathesis.toml",
        "run",
        f"{bench.base_url}/openapi.json",
        "--checks=all",
        "--phases=examples,coverage,fuzzing,stateful",
        f"--max-examples={bench.examples}",
        cwd=bench.folder,
    )


def python_client(bench: Bench) -> None:
    """A generated Python client gets the right numbers, and every operation answers it."""
    config = bench.folder / "client.yaml"
    config.write_text("post_hooks: []\nliteral_enums: true\n", encoding="utf-8")
    package = bench.folder / "generated_client"
    options = ("--meta", "none", "--fail-on-warning", "--config", config, "--output-path", package)
    bench.run(python_tool("openapi-python-client"), "generate", "--path", bench.document, *options)
    bench.run(sys.executable, SUPPORT / "ruler_pictures.py", bench.folder)
    path = {"PYTHONPATH": os.pathsep.join((str(bench.folder), str(SUPPORT))), "PYTHONDONTWRITEBYTECODE": "1"}
    bench.run(sys.executable, HERE / "use_client.py", bench.base_url, bench.document, bench.folder, env=path)


def typescript(bench: Bench) -> None:
    """Generated TypeScript types pass the strict compiler; by them numbers are right, and every operation answers."""
    folder = typescript_folder(bench, "types")
    types = folder / "api.d.ts"
    bench.run(bench.node_tool("openapi-typescript"), bench.document, "--output", types, "--default-non-nullable=false")
    bench.run(bench.node_tool("tsc"), "--project", folder)
    bench.run("node", folder / "built" / "use_types.js", bench.base_url)
    bench.run("node", folder / "built" / "through_fetch.js", bench.base_url, folder)


def typescript_sdk(bench: Bench) -> None:
    """A generated TypeScript client passes the strict compiler, and every operation answers it."""
    folder = typescript_folder(bench, "sdk")
    config = {
        "input": str(bench.document),
        "output": {"path": str(folder / "sdk"), "importFileExtension": ".js"},
        "plugins": ["@hey-api/client-fetch", "@hey-api/typescript", "@hey-api/sdk"],
    }
    (folder / "sdk.config.mjs").write_text(f"export default {json.dumps(config)};\n", encoding="utf-8")
    bench.run(bench.node_tool("openapi-ts"), "--no-log-file", "--file", folder / "sdk.config.mjs")
    bench.run(bench.node_tool("tsc"), "--project", folder / "tsconfig.sdk.json")
    bench.run("node", folder / "built" / "through_sdk.js", bench.base_url, folder)


def typescript_folder(bench: Bench, name: str) -> Path:
    """Folder with the scripts, the photographs that the examples send, and the installed packages."""
    folder = bench.folder / f"typescript-{name}"
    folder.mkdir()
    for source in (*HERE.glob("*.ts"), *HERE.glob("tsconfig*.json")):
        shutil.copy(source, folder)
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    (folder / "node_modules").symlink_to(bench.node / "node_modules")
    bench.run(sys.executable, SUPPORT / "ruler_pictures.py", folder)
    bench.run(sys.executable, SUPPORT / "typescript_calls.py", bench.document, folder)
    return folder


CHECKS: tuple[Callable[[Bench], None], ...] = (
    committed,
    openapi,
    spectral,
    redocly,
    ibm,
    python_client,
    typescript,
    typescript_sdk,
    schemathesis,
)
NODE_FILES = (".npmrc", ".spectral.yaml", "ibm.js", "package-lock.json", "package.json", "redocly.yaml")
NEED_NODE = {spectral, redocly, ibm, typescript, typescript_sdk}


def install_node_packages(folder: Path) -> None:
    """Install what package-lock.json says, unless the folder holds it already."""
    for source in HERE.iterdir():
        if source.name in NODE_FILES:
            shutil.copy(source, folder)
    mark = folder / "installed-lock.json"
    if mark.exists() and mark.read_bytes() == (HERE / "package-lock.json").read_bytes():
        return
    npm = shutil.which("npm")
    if npm is None:
        sys.exit("contract: npm is not on the path; Node 20.19 or newer brings it")
    done = subprocess.run(
        [npm, "ci"], cwd=folder, env=clean_environment() | QUIET, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        sys.exit(f"contract: npm ci failed\n{done.stdout}{done.stderr}")
    shutil.copy(HERE / "package-lock.json", mark)


def fetched(base_url: str) -> bytes:
    """Return the served document."""
    with urllib.request.urlopen(f"{base_url}/openapi.json", timeout=10) as answer:
        body: bytes = answer.read()
    return body


def free_port() -> int:
    """Port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


@contextlib.contextmanager
def running_service(folder: Path) -> Iterator[str]:
    """Start the service and end it again."""
    port = free_port()
    base_url = f"http://127.0.0.1:{port}"
    log_path = folder / "service.log"
    with log_path.open("wb") as log:
        command = [sys.executable, "-m", "closeup_service.http.serve", "--port", str(port), "--workers", "1"]
        server = subprocess.Popen(command, env=clean_environment(), cwd=folder, stdout=log, stderr=log)
        try:
            wait_until_up(base_url, server, log_path)
            yield base_url
        finally:
            server.terminate()
            try:
                server.wait(timeout=START_S)
            except subprocess.TimeoutExpired:
                server.kill()
                server.wait()


def wait_until_up(base_url: str, server: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until the service answers."""
    end = time.monotonic() + START_S
    while server.poll() is None and time.monotonic() < end:
        with contextlib.suppress(OSError):
            fetched(base_url)
            return
        time.sleep(0.1)
    sys.exit(f"contract: the service did not start\n{log.read_text(errors='replace')}")


def outcome(check: Callable[[Bench], None], bench: Bench) -> bool:
    """Run one check and write its line of the table, with what it found."""
    start = time.monotonic()
    try:
        check(bench)
    except Finding as finding:
        lines = str(finding).strip().splitlines()
        if len(lines) > SHOWN_LINES:
            say(f"    … {len(lines) - SHOWN_LINES} lines before these\n")
        for line in lines[-SHOWN_LINES:]:
            say(f"    {line[:WIDEST_LINE]}\n")
        passed = False
    else:
        passed = True
    say(
        f"{'passed' if passed else 'FAILED':7} {check.__name__:15} {time.monotonic() - start:6.1f} s  {check.__doc__}\n"
    )
    return passed


def say(text: str) -> None:
    """Write to the terminal at once."""
    sys.stdout.write(text)
    sys.stdout.flush()


def arguments() -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description="Check the published OpenAPI document from outside.")
    parser.add_argument("base_url", nargs="?", help="a running service; by default one is started and ended again")
    parser.add_argument("--only", nargs="+", choices=[check.__name__ for check in CHECKS], help="run only these")
    parser.add_argument("--node-folder", type=Path, help="keep the Node packages here between runs")
    parser.add_argument("--max-examples", type=int, default=20, help="requests of each kind and operation (default 20)")
    return parser.parse_args()


def main() -> int:
    """Run the checks; 0 when all pass."""
    given = arguments()
    checks = [check for check in CHECKS if given.only is None or check.__name__ in given.only]
    with contextlib.ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="contract-")))
        node = given.node_folder.resolve() if given.node_folder else folder / "node"
        node.mkdir(parents=True, exist_ok=True)
        if NEED_NODE.intersection(checks):
            install_node_packages(node)
        base_url = given.base_url.rstrip("/") if given.base_url else stack.enter_context(running_service(folder))
        document = folder / "openapi.json"
        document.write_bytes(fetched(base_url))
        bench = Bench(base_url, document, folder, node, given.max_examples, given.base_url is None)
        results = [outcome(check, bench) for check in checks]
    say(f"{results.count(True)} passed, {results.count(False)} failed\n")
    return 0 if all(results) else 1


if __name__ == "__main__":
    sys.exit(main())
