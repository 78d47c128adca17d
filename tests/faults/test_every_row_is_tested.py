"""Every fault and attack that the service must bear has a test: here by its id, or where it is proven.

Rows: 1 slow headers, 2 slow bodies, 3 silent connections, 4 long request line, 5 huge headers, 6 oversized bodies, 7 valid
chunks, 8 broken chunks, 9 doubtful framing, 10 malformed HTTP, 11 no Host, 12 methods, 13 pipelining, 14 half-closed and
reset clients, Expect, 15 numbers that are none, 16 extreme values, 17 nesting, 18 names twice, unknown fields, other
encodings, 19 endless integers, 20 many members, 21 compressed bodies, 22 media types, 23 hostile queries, 24 paths, 25 line
breaks in headers and log, 26 foreign Host, 27 forged addresses, 28 CORS, 29 error pages and ids, 30 protective headers,
31 rate limit, 32 concurrency, 33 growth, 34 killed worker, 35 killed master, 36 SIGHUP, 37 SIGTERM, 38 port in use, 39 bad
settings, 40 confinement, 41 hang, 42 clock jump, 43 costly refusals, 44 heavy calculations, 45 client gone, 46 full counts,
47 kit replaced, 48 malformed Host, 49 keys of the proxy's cache, 50 frozen copy.
"""

import re
from pathlib import Path

TESTS = Path(__file__).parents[1]
ROW = re.compile(r'^    """F(\d\d)"""$', re.MULTILINE)
BY_THE_CONTAINER = {40: "root_is_read_only", 41: "hang_is_noticed"}
NOT_TESTED = {42: "no test here sets the clock; intervals are taken from perf_counter and monotonic alone"}
ELSEWHERE = {
    1: ("proxy/test_slow_clients.py", "test_others_notice_nothing_of_slow_clients"),
    3: ("proxy/test_slow_clients.py", "test_who_falls_silent_is_closed_at_the_deadline"),
    4: ("http/test_limits_and_framing.py", "test_overlong_targets_and_headers_are_refused"),
    5: ("http/test_limits_and_framing.py", "test_overlong_targets_and_headers_are_refused"),
    6: ("http/test_limits_and_framing.py", "test_a_chunked_body_over_the_limit_is_refused"),
    7: ("http/test_limits_and_framing.py", "test_a_chunked_body_is_read_like_any_other"),
    10: ("http/test_limits_and_framing.py", "test_malformed_framing_is_refused"),
    15: ("http/test_json_in.py", "test_numbers_that_are_none_are_refused"),
    16: ("http/test_json_in.py", "test_extreme_values_are_refused_with_a_pointer"),
    18: ("http/test_json_in.py", "test_a_member_given_twice_is_refused"),
    27: ("proxy/test_quota.py", "test_a_forged_address_is_no_way_round"),
    28: ("serving/test_start_and_stop.py", "test_with_a_list_of_origins_others_get_no_leave"),
    30: ("http/test_problems_and_headers.py", "test_every_answer_is_protected"),
    31: ("proxy/test_quota.py", "test_over_the_quota_is_429_with_retry_after_and_the_policy"),
    38: ("serving/test_start_and_stop.py", "test_an_address_in_use_is_one_line_at_once"),
    39: ("serving/test_start_and_stop.py", "test_bad_settings_are_a_line_each_and_exit_78"),
    47: ("serving/test_kit_in_use.py", "test_the_kit_is_told_at_start_and_after_each_reload"),
    48: ("proxy/test_own_problems.py", "test_a_malformed_host_is_refused_everywhere_and_not_repeated"),
    49: ("proxy/test_keys_of_the_cache.py", "test_no_two_pairs_of_origin_and_accept_share_an_answer"),
    50: ("proxy/test_failover.py", "test_a_frozen_copy_is_left_out_and_no_small_request_fails"),
}
"""Slow, silent and greedy clients are the proxy's job."""


def test_every_row_has_its_place() -> None:
    here = {
        int(row) for module in Path(__file__).parent.glob("test_*.py") for row in ROW.findall(module.read_text("utf-8"))
    }
    assert here | set(BY_THE_CONTAINER) | set(NOT_TESTED) | set(ELSEWHERE) == set(range(1, 51))


def test_what_is_proven_elsewhere_is_there() -> None:
    for module, name in ELSEWHERE.values():
        assert f"def {name}(" in (TESTS / module).read_text("utf-8")
    scripts = "".join(script.read_text("utf-8") for script in (TESTS / "container").glob("*.sh"))
    assert all(f"{name}()" in scripts for name in BY_THE_CONTAINER.values())


def test_intervals_are_taken_from_clocks_that_do_not_jump() -> None:
    service = TESTS.parent / "service" / "closeup_service"
    assert not [
        module
        for module in service.rglob("*.py")
        if re.search(r"\btime\.time\(|import time\b.*\btime\(\)", module.read_text("utf-8"))
    ]
