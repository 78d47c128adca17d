"""Texts of the catalogue of gear, the invented demo kit, and what is stated of running the service."""

import json
from collections.abc import Iterator, Mapping
from itertools import chain

from closeup_service.gear.catalogue import MOUNTS, SENSORS, THREADS, Mount, Sensor, Thread
from closeup_service.gear.kit_building import demo_text, words_of
from closeup_service.language.speaking import Later
from closeup_service.running import logs
from closeup_service.running.exit_codes import EXIT_CODES
from closeup_service.running.settings import FORMS, HELP


def gear_texts() -> Iterator[str]:
    """Names of the catalogue and of the demo kit, and where the catalogue's figures come from."""
    records: tuple[Mapping[str, Sensor | Mount | Thread], ...] = (SENSORS, MOUNTS, THREADS)
    for entry in chain.from_iterable(each.values() for each in records):
        yield from entry.names
        yield entry.source
    yield from words_of(json.loads(demo_text()))


def running_texts() -> Iterator[str]:
    """What settings mean and take, how the service can end, and what its log holds; those with values are marked there."""
    yield from HELP.values()
    yield from (form for form in FORMS.values() if not isinstance(form, Later))
    yield from EXIT_CODES.values()
    for members in (logs.REQUEST_MEMBERS, logs.FULL_MEMBERS, logs.OTHER_MEMBERS):
        yield from members.values()
