"""`/v1/catalogue/…`."""

from collections.abc import Iterable, Mapping

from marshmallow import Schema

from closeup_service.gear.catalogue import MOUNTS, SENSORS, THREADS, Mount, Sensor, Thread, as_records
from closeup_service.operations.operation import Operation
from closeup_service.operations.refer.catalogue.schemas import MountsAnswer, SensorsAnswer, ThreadsAnswer


def _listing(name: str, what: str, entries: Iterable[Sensor | Mount | Thread], answer_type: type[Schema]) -> Operation:
    records = as_records(entries)

    def answer(asked: Mapping[str, object]) -> dict[str, object]:
        del asked
        return {"records": records}

    return Operation(
        operation_id=f"list{name.capitalize()}",
        path=f"/v1/catalogue/{name}",
        tag="refer",
        summary=what,
        description="Each record names where its values come from, or says that they are common practice.",
        answer=answer,
        answer_type=answer_type,
        by_query="none",
    )


OPERATIONS = (
    _listing("sensors", "Sensor and film formats, by their measures", SENSORS.values(), SensorsAnswer),
    _listing("mounts", "Lens mounts and their registers", MOUNTS.values(), MountsAnswer),
    _listing("threads", "Threads of filters, mounts and objectives", THREADS.values(), ThreadsAnswer),
)
