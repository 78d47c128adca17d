"""One run of pytest that, instead of its tests, runs those that reach a fault, for one fault after the other."""

import gc
import json
import os
import resource
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

import pytest
from coverage import Coverage

from grafting import graft, import_anew
from mutants import Mutant

SURVIVED, KILLED, BROKEN = 0, 1, 99
CPU_SECONDS = 20
"""After which a fault counts as noticed: it makes something run for ever."""


class StopAtFailure:
    """A plugin that ends the process at the first failure."""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """End it there."""
        if report.failed:
            os._exit(KILLED)


class Reach:
    """A plugin that notes which tests reach which lines of a folder, and how long they take."""

    def __init__(self, folder: Path) -> None:
        self.coverage = Coverage(data_file=None, include=[f"{folder}/*"], config_file=False)
        self.seconds: dict[str, float] = {}
        self.failed: set[str] = set()

    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        """Count what follows for this test."""
        self.coverage.switch_context(item.nodeid)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note its time, and whether it fails without any fault."""
        self.seconds[report.nodeid] = self.seconds.get(report.nodeid, 0) + report.duration
        if report.failed:
            self.failed.add(report.nodeid)

    def lines(self) -> dict[str, dict[int, list[str]]]:
        """For each file and line the tests that reach it, the quickest first."""
        data = self.coverage.get_data()
        return {
            file: {line: self.sound(tests) for line, tests in data.contexts_by_lineno(file).items()}
            for file in data.measured_files()
        }

    def sound(self, tests: Sequence[str]) -> list[str]:
        """Those that pass without a fault, the quickest first."""
        return sorted((test for test in tests if test and test not in self.failed), key=lambda test: self.seconds[test])


class MutationSession:
    """A plugin of pytest that hunts faults in place of running the tests it has collected."""

    def __init__(self, mutants: Sequence[Mutant], seconds: float, reach: Path | None) -> None:
        self.mutants = mutants
        self.seconds = seconds
        self.reach = reach

    @pytest.hookimpl(trylast=True)
    def pytest_configure(self) -> None:
        """Draw fewer random examples, and make none smaller when one fails."""
        from hypothesis import Phase, settings  # pytest would have it imported after itself

        phases = (Phase.explicit, Phase.generate)
        settings.register_profile("mutation", settings(), max_examples=25, phases=phases)
        settings.load_profile("mutation")

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Hunt every fault, each in a process of its own."""
        session.config.pluginmanager.unregister(name="terminalreporter")
        lines, seconds = self.measured(session)
        gc.freeze()  # so that a fork shares what is there
        survivors = 0
        for number, mutant in enumerate(self.mutants, 1):
            reaching, anew = tests_of(mutant, lines)
            tests = list(self.within_time(reaching, seconds))
            ended = in_a_fork(partial(hunt, mutant, tests, anew, session)) if tests else SURVIVED
            assert ended != BROKEN, f"{mutant} could not be tried"
            alive = ended == SURVIVED
            survivors += alive
            if alive:
                print(f"SURVIVED {mutant} after {len(tests)} tests\n{mutant.difference}", flush=True)
            if number % 50 == 0:
                print(f"{number} of {len(self.mutants)} faults, {survivors} survived", flush=True)
        print(f"{len(self.mutants)} faults, {survivors} survived")
        return True

    def within_time(self, tests: Sequence[str], seconds: dict[str, float]) -> Iterator[str]:
        """As many of the tests as the time for one fault allows, the quickest first."""
        left = self.seconds
        for test in sorted(tests, key=seconds.__getitem__):
            left -= seconds[test]
            if left < 0:
                return
            yield test

    def measured(self, session: pytest.Session) -> tuple[dict[str, dict[str, list[str]]], dict[str, float]]:
        """Which tests reach which lines, measured in a process of its own, or kept from another run."""
        kept = self.reach or Path(tempfile.mkdtemp()) / "reach.json"
        if not kept.exists():
            in_a_fork(partial(measure, session, self.mutants[0].path.parent, kept))
        lines, seconds = json.loads(kept.read_text())
        return lines, seconds


def in_a_fork(action: Callable[[], int]) -> int:
    """Do it in a process of its own and tell how that ended."""
    sys.stdout.flush()
    child = os.fork()
    if child:
        _, status = os.waitpid(child, 0)
        return os.waitstatus_to_exitcode(status)
    try:
        os._exit(action())
    except BaseException:
        os._exit(BROKEN)


def measure(session: pytest.Session, folder: Path, kept: Path) -> int:
    """Run all tests and write down what each reaches."""
    reach = Reach(folder)
    session.config.pluginmanager.register(reach)
    reach.coverage.start()
    run(session.items)
    reach.coverage.stop()
    print(f"{len(session.items)} tests, left out as they fail already: {sorted(reach.failed)}", flush=True)
    kept.write_text(json.dumps([reach.lines(), reach.seconds]))
    return SURVIVED


def run(items: Sequence[pytest.Item]) -> None:
    """Run tests in this order."""
    for item, following in zip(items, [*items[1:], None], strict=True):
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)


def tests_of(mutant: Mutant, lines: dict[str, dict[str, list[str]]]) -> tuple[list[str], bool]:
    """Tests that reach the fault's line, or the module where only importing runs the line and has to be done anew."""
    reached = lines.get(str(mutant.path), {})
    own = reached.get(str(mutant.span[0][0]), [])
    if own and mutant.within_function:
        return own, False
    return list(dict.fromkeys(test for tests in reached.values() for test in tests)), True


def hunt(mutant: Mutant, tests: Sequence[str], anew: bool, session: pytest.Session) -> int:
    """Run the tests with the fault in place; a process that comes to the end has not noticed it."""
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS))
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    if anew:
        import_anew(mutant)
        options = ("-n0", "-q", "-p", "no:cacheprovider", "-W", "ignore::pytest.PytestAssertRewriteWarning")
        return int(pytest.main([*options, *tests], plugins=[StopAtFailure()]))
    graft(mutant)
    session.config.pluginmanager.register(StopAtFailure())
    items = {item.nodeid: item for item in session.items}
    run([items[test] for test in tests])
    return SURVIVED
