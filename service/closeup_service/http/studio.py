"""What the task pages are handed: every operation answered in process, refusals as the API words them."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from flask import Flask, Request, Response

from closeup_service.gear.kit import Kit
from closeup_service.http.answering import body_of
from closeup_service.http.negotiation import JSON
from closeup_service.http.reading import an_object
from closeup_service.http.uploads import content_of, parts_of
from closeup_service.operations.asking import strict_json
from closeup_service.operations.asking.limits import MEGABYTE, Limits
from closeup_service.operations.operation import Operation
from closeup_service.operations.registry import OPERATIONS
from closeup_service.pages.asking import Refused, Sent, Studio, Sum
from closeup_service.published.command_table import command_name
from closeup_service.schemas.fields import load
from closeup_service.schemas.upload import Upload

Given = TypeVar("Given")


def studio_of(app: Flask, kit: Kit, limits: Limits) -> Studio:
    """Return the operations of an application as its pages use them."""
    known = {operation.operation_id: operation for operation in OPERATIONS}

    def ask(operation_id: str, members: Mapping[str, Any]) -> Mapping[str, Any] | Refused:
        def answer() -> Mapping[str, Any]:
            return an_object(strict_json.loads(body_of(known[operation_id], members, JSON, kit)))

        return tried(app, answer)

    def check(operation_id: str, members: Mapping[str, Any]) -> Refused | None:
        schema = known[operation_id].request_schema
        loaded = None if schema is None else tried(app, lambda: load(schema, members))
        return loaded if isinstance(loaded, Refused) else None

    def read_document(text: str) -> Mapping[str, Any] | Refused:
        return tried(app, lambda: an_object(strict_json.loads(text.encode("utf-8", "surrogatepass"))))

    def read_form(request: Request) -> Sent | Refused:
        return tried(app, lambda: form_of(request, limits))

    return Studio(
        sums={name: sum_of(operation) for name, operation in known.items()},
        kit=kit,
        ask=ask,
        check=check,
        read_document=read_document,
        read_form=read_form,
        most_upload_mb=limits.most_bytes // MEGABYTE,
    )


def sum_of(operation: Operation) -> Sum:
    """Return an operation as pages know it."""
    return Sum(
        operation.operation_id,
        operation.path,
        operation.summary,
        operation.by_query,
        command_name(operation.path),
        operation.request_schema,
        operation.answer_schema,
        operation.takes_photographs,
    )


def tried(app: Flask, work: Callable[[], Given]) -> Given | Refused:
    """Do some work; what is raised becomes the refusal that the API would answer with."""
    try:
        return work()
    except Exception as error:  # the application's own handlers sort it, and log what is unforeseen
        response = app.handle_user_exception(error)
        assert isinstance(response, Response)
        problem = response.get_json(force=True)
        faults = tuple((each["pointer"], each["detail"]) for each in problem["errors"])
        return Refused(problem["status"], problem["detail"], faults)


def form_of(request: Request, limits: Limits) -> Sent:
    """Parts of a form with files: texts as they were typed; a file that was left out stays out."""
    texts, files = parts_of(request, limits)
    uploads = {name: Upload(content_of(file), limits.most_pixels, limits.patience) for name, file in files.items()}
    return Sent(texts, {name: upload for name, upload in uploads.items() if upload.content})
