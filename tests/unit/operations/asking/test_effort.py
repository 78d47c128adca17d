"""A request calculates a little at once, more in its turn, and not for ever."""

import threading
from collections.abc import Iterator
from time import thread_time

import pytest

from closeup_service.gear.errors import NobodyWaits
from closeup_service.operations.asking import effort
from closeup_service.operations.asking.effort import EFFORT, FREE_S, Effort, always, expect, go_on, in_turn
from closeup_service.operations.asking.turns import TURN, Busy, one_at_a_time
from closeup_service.schemas.upload import AT_ONCE, Patience
from running_service import until

MUCH_S = 2 * FREE_S


@pytest.fixture
def own() -> Iterator[Effort]:
    """Effort of the request in hand, which waits for nothing."""
    made = Effort(lambda: always, AT_ONCE, thread_time())
    token = EFFORT.set(made)
    yield made
    made.release()
    EFFORT.reset(token)


def test_little_needs_no_turn(own: Effort) -> None:
    with one_at_a_time():
        expect(FREE_S)
        go_on()
    assert not own.has_turn


def test_much_waits_for_the_turn_and_keeps_it_to_its_end(own: Effort) -> None:
    with one_at_a_time(), pytest.raises(Busy):
        expect(MUCH_S)
    expect(MUCH_S)
    expect(MUCH_S)
    assert own.has_turn
    with pytest.raises(Busy), one_at_a_time():
        pass
    own.release()
    with one_at_a_time():
        pass


def test_what_turns_out_to_be_much_waits_too(own: Effort, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(effort, "FREE_S", -1.0)
    with one_at_a_time(), pytest.raises(Busy):
        go_on()
    go_on()
    assert own.has_turn


def test_who_has_the_turn_reads_photographs_in_it(own: Effort) -> None:
    expect(MUCH_S)
    with in_turn(AT_ONCE):
        assert own.has_turn


def test_it_ends_after_a_stated_time(own: Effort, monkeypatch: pytest.MonkeyPatch) -> None:
    del own
    monkeypatch.setattr(effort, "MOST_S", -1.0)
    with pytest.raises(Busy, match="ask for less"):
        go_on()


def test_it_ends_when_nobody_waits() -> None:
    gone = Effort(lambda: lambda: False, AT_ONCE, thread_time())
    with pytest.raises(NobodyWaits):
        gone.go_on()


def test_in_ones_own_process_nothing_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(effort, "MOST_S", -1.0)
    with one_at_a_time():
        expect(1e6)
        go_on()


def test_who_waits_in_line_has_the_turn_then() -> None:
    had: list[bool] = []

    def work() -> None:
        waiting = Effort(lambda: always, Patience(60.0, 1), thread_time())
        waiting.expect(MUCH_S)
        had.append(waiting.has_turn)
        waiting.release()

    with one_at_a_time():
        thread = threading.Thread(target=work)
        thread.start()
        assert until(lambda: TURN.waiting == 1)
    thread.join()
    assert had == [True]


def test_what_is_left_for_the_end_is_done_in_turn(own: Effort) -> None:
    done: list[bool] = []

    def attempt() -> None:
        with pytest.raises(Busy), one_at_a_time():
            pass
        done.append(True)

    expect(MUCH_S)
    effort.at_end(attempt)
    assert not done
    own.release()
    assert done == [True]
