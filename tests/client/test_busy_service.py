"""A service that is busy is asked again, for as long as it says and as long as one cares to wait."""

from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime

import pytest

from busy import busy_at_first
from closeup_client import Client, ServiceRefused
from closeup_client.busy_waits import LEAST_BUSY_PAUSE_S, MOST_BUSY_TRIES, BusyWaits, seconds_of
from photograph_files import saved
from ruler_pictures import as_pixels, pictures, ruler
from running_service import running_service

RULER = pictures()["ruler.jpg"]
LARGER = saved(as_pixels(ruler(2200, 1500, 140.0)), "JPEG")


def waits(most_s: float, *headers: Mapping[str, str], status: int = 503) -> list[float | None]:
    busy = BusyWaits(most_s)
    return [busy.pause(status, each) for each in headers]


def after(seconds: str) -> dict[str, str]:
    return {"Retry-After": seconds}


def test_the_waits_together_take_no_longer_than_told() -> None:
    assert waits(10, after("4"), after("5"), after("2"), after("1")) == [4, 5, None, 1]


def test_a_wait_longer_than_all_that_is_left_is_not_begun() -> None:
    assert waits(30, after("31")) == [None]
    assert waits(0, after("1")) == [None]


def test_who_says_at_once_again_and_again_is_not_asked_for_ever() -> None:
    found = waits(1000, *[after("0")] * (MOST_BUSY_TRIES + 1))
    assert found == [LEAST_BUSY_PAUSE_S] * MOST_BUSY_TRIES + [None]


@pytest.mark.parametrize("status", [200, 500, 502, 504])
def test_only_a_service_that_is_busy_or_asked_too_often_is_waited_for(status: int) -> None:
    assert waits(30, after("1"), status=status) == [None]


def test_a_client_that_asks_too_often_waits_as_long_as_it_is_told() -> None:
    assert waits(30, after("7"), status=429) == [7.0]


@pytest.mark.parametrize("text", ["", "soon", "-1", "1.5", "٣", "Mon, 99 Foo"])
def test_what_says_no_time_is_not_waited_for(text: str) -> None:
    assert seconds_of(text) is None


def test_a_date_is_a_time_too() -> None:
    """RFC 9110, 10.2.3"""
    date = datetime.now(UTC) + timedelta(seconds=40)
    assert seconds_of(format_datetime(date, usegmt=True)) == pytest.approx(40, abs=3)
    assert seconds_of("Wed, 21 Oct 2015 07:28:00 GMT") == 0.0


@pytest.mark.parametrize("wait", [-1, float("nan"), float("inf"), "5"])
def test_a_wait_that_is_none_is_the_callers_error(wait: float) -> None:
    with pytest.raises(ValueError, match="busy_wait_s"):
        Client(busy_wait_s=wait)


@pytest.mark.outside
def test_the_client_asks_a_busy_service_again(service_url: str) -> None:
    with busy_at_first(service_url, "0", "1") as (url, asked), Client(url) as client:
        assert client.scale_reading_photo(RULER, tick_pitch_mm=0.5).marks_used > 10
    assert len(asked) == 3


@pytest.mark.outside
@pytest.mark.parametrize(("retry_after", "wait"), [("0", 0.0), ("2", 1.0), (None, 30.0), ("3600", 30.0)])
def test_the_refusal_is_told_where_waiting_is_of_no_use(service_url: str, retry_after: str, wait: float) -> None:
    with busy_at_first(service_url, retry_after) as (url, asked), Client(url, busy_wait_s=wait) as client:
        with pytest.raises(ServiceRefused) as refusal:
            client.scale_reading_photo(RULER, tick_pitch_mm=0.5)
        assert refusal.value.status == 503
    assert len(asked) == 1


@pytest.fixture(scope="module")
def one_worker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    options = ("--workers", "1", "--photograph-wait-s", "15")
    with running_service(tmp_path_factory.mktemp("one") / "log", *options) as port:
        yield f"http://127.0.0.1:{port}"


@pytest.fixture(scope="module")
def impatient(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    options = ("--workers", "1", "--photograph-wait-s", "0")
    with running_service(tmp_path_factory.mktemp("impatient") / "log", *options) as port:
        yield f"http://127.0.0.1:{port}"


def read_at_once(url: str, count: int, busy_wait_s: float, content: bytes = LARGER) -> list[int]:
    """Status of each of so many photographs that are sent at once."""

    def read(_: int) -> int:
        with Client(url, timeout=60, busy_wait_s=busy_wait_s) as client:
            try:
                return 200 if client.scale_reading_photo(content, tick_pitch_mm=0.5).marks_used else 0
            except ServiceRefused as refusal:
                return refusal.status

    with ThreadPoolExecutor(count) as pool:
        return list(pool.map(read, range(count)))


@pytest.mark.outside
def test_photographs_sent_at_once_wait_for_their_turn_in_the_service(one_worker: str) -> None:
    """Even a client that asks once gets its reading, as those that know nothing of waiting do."""
    assert read_at_once(one_worker, 3, 0.0, RULER) == [200] * 3


@pytest.mark.outside
def test_photographs_that_a_service_refuses_at_once_are_asked_again(impatient: str) -> None:
    assert read_at_once(impatient, 3, 60.0) == [200] * 3
    assert set(read_at_once(impatient, 6, 0.0)) == {200, 503}
