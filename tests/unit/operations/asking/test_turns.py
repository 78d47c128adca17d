"""One at a time, the others in a line."""

import threading
import time
from collections.abc import Callable

import pytest

from closeup_service.operations.asking.turns import LineFull, Turn, WaitedInVain
from closeup_service.running.settings import Settings
from closeup_service.schemas.upload import AT_ONCE, Patience
from running_service import until

LONG = Patience(60.0, 10)


def started(work: Callable[[], None]) -> threading.Thread:
    thread = threading.Thread(target=work)
    thread.start()
    return thread


def test_who_comes_while_it_is_taken_waits_first_come_first_served() -> None:
    turn, order, together = Turn(), [], []

    def work(number: int) -> None:
        with turn.taken(LONG):
            together.append(number)
            assert together == [number]
            time.sleep(0.01)
            order.append(number)
            together.clear()

    with turn.taken(AT_ONCE):
        threads = []
        for number in range(5):
            threads.append(started(lambda number=number: work(number)))  # type: ignore[misc]
            assert until(lambda number=number: turn.waiting == number + 1)  # type: ignore[misc]
    for each in threads:
        each.join()
    assert order == [0, 1, 2, 3, 4]
    assert turn.waiting == 0


def test_the_line_is_no_longer_than_told() -> None:
    turn, ended = Turn(), threading.Event()

    def hold() -> None:
        with turn.taken(Patience(60.0, 1)):
            ended.wait()

    with turn.taken(AT_ONCE):
        with pytest.raises(LineFull), turn.taken(AT_ONCE):
            pass
        waiting = started(hold)
        assert until(lambda: turn.waiting == 1)
        with pytest.raises(LineFull), turn.taken(Patience(60.0, 1)):
            pass
        assert turn.waiting == 1
    assert until(lambda: turn.waiting == 0)
    with pytest.raises(LineFull), turn.taken(AT_ONCE):
        pass  # whoever waited has it now
    ended.set()
    waiting.join()


def test_nobody_waits_longer_than_told_and_the_turn_goes_on() -> None:
    turn = Turn()
    with turn.taken(AT_ONCE), pytest.raises(WaitedInVain), turn.taken(Patience(0.02, 1)):
        pass
    assert turn.waiting == 0
    with turn.taken(AT_ONCE):
        pass


def test_who_gives_up_lets_the_next_one_through() -> None:
    turn, had = Turn(), []

    def gives_up() -> None:
        with pytest.raises(WaitedInVain), turn.taken(Patience(0.05, 2)):
            pass

    def stays() -> None:
        with turn.taken(LONG):
            had.append(True)

    with turn.taken(AT_ONCE):
        first = started(gives_up)
        assert until(lambda: turn.waiting == 1 or not first.is_alive())
        second = started(stays)
        first.join()
    second.join()
    assert had == [True]


def test_the_turn_is_given_back_after_an_error() -> None:
    turn = Turn()
    with pytest.raises(ZeroDivisionError), turn.taken(AT_ONCE):
        raise ZeroDivisionError
    with turn.taken(AT_ONCE):
        pass


@pytest.mark.parametrize(("threads", "waiting"), [(1, 0), (2, 1), (3, 1), (8, 4), (256, 128)])
def test_at_most_half_of_the_threads_wait_and_one_is_left_for_small_requests(threads: int, waiting: int) -> None:
    patience = Settings(threads=threads, photograph_wait_s=7).limits.patience
    assert patience == Patience(7.0, waiting)
    assert waiting <= threads / 2
