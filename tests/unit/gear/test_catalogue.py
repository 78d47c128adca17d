import json
import re
from collections import Counter
from collections.abc import Mapping
from importlib.resources import files
from itertools import chain
from typing import Any

import pytest

from closeup_service.gear.catalogue import (
    MOUNTS,
    SENSORS,
    THREADS,
    Mount,
    Sensor,
    Thread,
    as_records,
    sensor_id,
    turned_sensor,
)

MM_PER_INCH = 25.4
CATALOGUES: dict[str, Mapping[str, Sensor | Mount | Thread]] = {
    "sensors.json": SENSORS,
    "mounts.json": MOUNTS,
    "threads.json": THREADS,
}
EVERY_RECORD: list[Sensor | Mount | Thread] = [
    *SENSORS.values(),
    *MOUNTS.values(),
    *THREADS.values(),
]
BAYONETS = [mount for mount in MOUNTS.values() if mount.kind == "bayonet"]
THREAD_MOUNTS = [mount for mount in MOUNTS.values() if mount.kind == "thread"]
OPEN_MOUNT_NAMES = {"C", "CS", "D"}
OPEN_THREAD_NAMES = {"RMS"}
KNOWN_STATUSES = {"published", "from-memory", "common-practice"}


def rows_of(file_name: str) -> list[dict[str, Any]]:
    text = files("closeup_service.gear").joinpath("data", file_name).read_text(encoding="utf-8")
    rows: list[dict[str, Any]] = json.loads(text)["records"]
    return rows


def measures_in_thread_id(thread_id: str) -> tuple[float, float]:
    """Diameter and pitch in mm, read from ids such as M52x0.75, M39x26tpi and 1in-32UN."""
    if metric := re.fullmatch(r"M([\d.]+)x([\d.]+)", thread_id):
        return float(metric[1]), float(metric[2])
    if mixed := re.fullmatch(r"M([\d.]+)x(\d+)tpi", thread_id):
        return float(mixed[1]), MM_PER_INCH / int(mixed[2])
    inch = re.fullmatch(r"([\d.]+)in-(\d+)(?:UN|tpi)", thread_id)
    assert inch, f"{thread_id} does not say its measures"
    return float(inch[1]) * MM_PER_INCH, MM_PER_INCH / int(inch[2])


@pytest.mark.parametrize("file_name", CATALOGUES)
def test_every_id_stands_once_in_its_file_and_the_catalogue_keeps_the_order(file_name: str) -> None:
    assert list(CATALOGUES[file_name]) == [row["id"] for row in rows_of(file_name)]


@pytest.mark.parametrize("file_name", CATALOGUES)
def test_a_name_leads_to_one_record_of_its_catalogue(file_name: str) -> None:
    labels = chain.from_iterable({row["id"], *row["names"]} for row in rows_of(file_name))
    assert [label for label, times in Counter(map(str.casefold, labels)).items() if times > 1] == []


@pytest.mark.parametrize("record", EVERY_RECORD, ids=lambda record: record.id)
def test_every_record_has_a_name_and_an_id_that_needs_no_escape_in_an_address(
    record: Sensor | Mount | Thread,
) -> None:
    assert record.names
    assert all(name.strip() == name and name for name in record.names)
    assert re.fullmatch(r"[A-Za-z0-9.-]+", record.id)


@pytest.mark.parametrize("record", EVERY_RECORD, ids=lambda record: record.id)
def test_every_record_names_its_source_or_says_common_practice(record: Sensor | Mount | Thread) -> None:
    assert record.source.strip()
    assert record.source_status in KNOWN_STATUSES
    says_common_practice = record.source.startswith("common practice, no source")
    assert says_common_practice == (record.source_status == "common-practice")


@pytest.mark.parametrize("sensor", SENSORS.values(), ids=lambda sensor: sensor.id)
def test_a_sensor_id_is_its_width_and_height_and_it_lies_landscape_unless_it_says_upright(sensor: Sensor) -> None:
    width, height = map(float, sensor.id.split("x"))
    assert (sensor.width_mm, sensor.height_mm) == (width, height)
    assert width > 0
    assert height > 0
    assert (width >= height) == ("upright" not in sensor.names[0])


def test_no_two_sensors_have_the_same_measures() -> None:
    assert len({(sensor.width_mm, sensor.height_mm) for sensor in SENSORS.values()}) == len(SENSORS)


@pytest.mark.parametrize("written", ["17.3x13", "17.3x13.0", "17.30x13.00"])
def test_a_sensor_is_known_by_its_measures_however_many_zeros_end_them(written: str) -> None:
    assert sensor_id(written) == "17.3x13.0"


@pytest.mark.parametrize(
    "written", ["13x17.3", "17.3", "17.3x13.1", "17,3x13", " 17.3x13", "", "x", "17.3x13x1", "1e1x13"]
)
def test_any_other_text_is_no_sensor_and_stays_as_it_is(written: str) -> None:
    assert sensor_id(written) == written


def test_a_sensor_written_upright_is_recognised_but_not_taken() -> None:
    assert turned_sensor("24x36") == turned_sensor("24x36.0") == "36x24"
    assert turned_sensor("13x17.3") == "17.3x13.0"
    assert turned_sensor("24x35") is turned_sensor("24") is turned_sensor("") is None


@pytest.mark.parametrize("thread", THREADS.values(), ids=lambda thread: thread.id)
def test_a_thread_id_is_its_diameter_and_pitch(thread: Thread) -> None:
    if thread.id in OPEN_THREAD_NAMES:
        assert not re.match(r"[M\d]\d", thread.id)
        return
    diameter, pitch = measures_in_thread_id(thread.id)
    assert thread.diameter_mm == pytest.approx(diameter, rel=1e-12)
    assert thread.pitch_mm == pytest.approx(pitch, rel=1e-12)


@pytest.mark.parametrize("thread", THREADS.values(), ids=lambda thread: thread.id)
def test_a_thread_is_fine_and_has_a_known_use(thread: Thread) -> None:
    assert thread.use in {"filter", "mount", "objective"}
    assert 0 < thread.pitch_mm < thread.diameter_mm / 10


@pytest.mark.parametrize("mount", MOUNTS.values(), ids=lambda mount: mount.id)
def test_no_mount_is_without_a_positive_register(mount: Mount) -> None:
    assert mount.register_mm > 0


@pytest.mark.parametrize("mount", BAYONETS, ids=lambda mount: mount.id)
def test_a_bayonet_id_is_its_register_and_where_given_its_throat(mount: Mount) -> None:
    measures = re.fullmatch(r"bayonet-([\d.]+)(?:-([\d.]+))?", mount.id)
    assert measures
    assert mount.register_mm == float(measures[1])
    assert measures[2] is None or mount.throat_mm == float(measures[2])
    assert mount.throat_mm is None or mount.throat_mm > 0
    assert mount.thread is None


@pytest.mark.parametrize("mount", THREAD_MOUNTS, ids=lambda mount: mount.id)
def test_a_thread_mount_is_named_by_a_thread_of_the_catalogue(mount: Mount) -> None:
    assert mount.thread is not None
    # a mount's thread may be that of filters too: M48, M58 and M72 x 0.75 are cut for both (common practice, no source)
    assert THREADS[mount.thread].use in {"mount", "filter"}
    assert mount.id in OPEN_MOUNT_NAMES | {mount.thread, f"{mount.thread}-{mount.register_mm}"}


def test_every_mount_is_a_thread_or_a_bayonet() -> None:
    assert len(THREAD_MOUNTS) + len(BAYONETS) == len(MOUNTS)


def test_mounts_that_share_a_thread_differ_in_register() -> None:
    pairs = [(mount.thread, mount.register_mm) for mount in THREAD_MOUNTS]
    assert len(pairs) == len(set(pairs))


def test_the_39_mm_thread_of_26_turns_to_the_inch_is_not_the_metric_one() -> None:
    inch, metric = THREADS["M39x26tpi"], THREADS["M39x1"]
    assert inch.diameter_mm == metric.diameter_mm
    # 25.4 mm / 26 (arithmetic): finer than 1 mm, so a few turns of engagement bind
    assert inch.pitch_mm == pytest.approx(0.976923, abs=1e-6)
    assert metric.pitch_mm == 1.0


def test_the_26_mm_thread_of_36_turns_to_the_inch_is_not_the_metric_one() -> None:
    # 25.4 mm / 36 (arithmetic)
    assert THREADS["M26x36tpi"].pitch_mm == pytest.approx(0.705556, abs=1e-6)
    assert THREADS["M26x0.75"].pitch_mm == 0.75


def test_the_microscope_society_thread_is_eight_tenths_of_an_inch_by_36_to_the_inch() -> None:
    # ISO 8038 (now ISO 9345:2019, 4.2); ASTM E210: nominal 0.800 inch x 36 to the inch
    assert THREADS["RMS"].diameter_mm == pytest.approx(0.8 * MM_PER_INCH, rel=1e-12)
    assert THREADS["RMS"].pitch_mm == pytest.approx(MM_PER_INCH / 36, rel=1e-12)


@pytest.mark.parametrize(
    ("mount_id", "register_mm"),
    [
        ("C", 0.69 * MM_PER_INCH),  # 0.6900 inch, public descriptions of the C-mount
        ("CS", 0.69 * MM_PER_INCH - 5),  # the same: 5 mm less than the C-mount
        ("D", 12.29),  # public description of the D-mount
        ("M42x1", 45.46),  # C. Hoffman, Useful Optomechanical Shop Data (web page)
        ("M39x26tpi", 28.8),  # the same
        ("M42x0.75", 55.0),  # the same, T2
        ("bayonet-46.5", 46.5),  # the same
        ("bayonet-44.0", 44.0),  # the same
        ("bayonet-9.2", 9.2),  # public table of flange focal distances (weblog Camerabilia, 2011)
        ("bayonet-29.0", 29.0),  # the same
        ("M35x0.75", 0.69 * MM_PER_INCH),  # at the register of the C-mount: from memory
        ("M48x0.75", 0.69 * MM_PER_INCH),  # the same
    ],
)
def test_known_registers_are_met(mount_id: str, register_mm: float) -> None:
    assert MOUNTS[mount_id].register_mm == pytest.approx(register_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("sensor_id", "diagonal_mm"),
    [
        ("36x24", 43.267),  # 24 mm x 36 mm: BKSTS Dictionary, table App.C.1; diagonal by Pythagoras
        ("24x18", 30.0),  # the same table; 3-4-5 triangle
        ("8.8x6.6", 11.0),  # 2/3-inch type, diagonal 11 mm: common practice, no source
        ("6.4x4.8", 8.0),  # 1/2-inch type, diagonal 8 mm: common practice, no source
        ("4.8x3.6", 6.0),  # 1/3-inch type, diagonal 6 mm: common practice, no source
        ("12.8x9.6", 16.0),  # 1-inch type, diagonal 16 mm: common practice, no source
        ("3.2x2.4", 4.0),  # 1/4-inch type, diagonal 4 mm: the same
    ],
)
def test_known_diagonals_are_met(sensor_id: str, diagonal_mm: float) -> None:
    assert SENSORS[sensor_id].diagonal_mm == pytest.approx(diagonal_mm, abs=5e-4)


@pytest.mark.parametrize(
    ("catalogue", "ids"),
    [
        (
            SENSORS,
            "14.2x10.4 14.58x12.6 18.7x14 9.8x7.3 5.64x4.23 3.6x2.7 27.9x18.6 49x36.8 36.7x49 172x121 248x197 114x84 77x56 "
            "118x56 168x56 65x24 63.5x41.3 41.3x41.3 28x28 17x13 30.2x16.7 25.1x16.7 30.2x9.5 4.8x3.5 5.79x4.01",
        ),
        (
            MOUNTS,
            "M12x0.5 M58x0.75 M72x0.75 M35x0.75 M48x0.75 bayonet-9.2 bayonet-17.0 bayonet-29.0 bayonet-34.85 bayonet-44.4 "
            "bayonet-44.6 bayonet-74.0 bayonet-102.8 bayonet-105.0 bayonet-112.0",
        ),
        (THREADS, "M12x0.5 M22.5x0.5 M28.5x0.6 M29.5x0.5 M35x0.75 M39x0.75 M53x0.75 M90x1 2in-24tpi"),
    ],
)
def test_what_people_looked_for_in_vain_is_there(catalogue: Mapping[str, Any], ids: str) -> None:
    assert set(ids.split()) <= set(catalogue)


def test_the_usual_filter_threads_have_the_pitch_of_the_trade() -> None:
    # common practice, no source: 0.75 mm from 43 to 82 mm, 1 mm above, 0.5 mm at 40.5 mm and below
    pitches = {thread.diameter_mm: thread.pitch_mm for thread in THREADS.values() if thread.use == "filter"}
    usual = {40.5: 0.5, 49: 0.75, 52: 0.75, 58: 0.75, 67: 0.75, 77: 0.75, 82: 0.75, 86: 1, 95: 1}
    assert {diameter: pitches[diameter] for diameter in usual} == usual


def test_records_for_the_answer_are_plain_json_in_file_order() -> None:
    for file_name, catalogue in CATALOGUES.items():
        answer = json.loads(json.dumps(as_records(catalogue.values())))
        for row in answer:
            row.pop("diagonal_mm", None)
        assert answer == rows_of(file_name)


def test_sensor_records_carry_their_diagonal() -> None:
    (record,) = as_records([SENSORS["24x18"]])
    assert record["diagonal_mm"] == 30.0


def test_the_catalogue_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        SENSORS["36x24"] = SENSORS["24x24"]  # type: ignore[index]
    with pytest.raises(AttributeError):
        MOUNTS["C"].register_mm = 17.5  # type: ignore[misc]
