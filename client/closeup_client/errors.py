"""Everything that can go wrong with a call; the errors of `requests` never leave this library."""

from dataclasses import dataclass


class CloseupError(Exception):
    """Base of every error of this library."""


class ServiceUnreachable(CloseupError):
    """The service could not be talked to: no connection, a lost one, or no answer in time."""


class AnswerNotUnderstood(CloseupError):
    """What answered did not answer as the service does: no JSON, or not of the expected shape."""


@dataclass(frozen=True, slots=True)
class FieldFault:
    """One field at fault: its JSON pointer in the request ("" is the whole), and what would be right."""

    pointer: str
    detail: str


class ServiceRefused(CloseupError):
    """The service refused the request and said why.

    Attributes
    ----------
    status : HTTP status, such as 422.
    title : what kind of problem it is, in words that do not change.
    detail : what is wrong with this request; may be empty.
    type : stable address of the kind of problem, such as `/problems/impossible`, on the service's own host.
    code : stable name of what the optics refuse, such as `subject-inside-lens`; None for every other problem.
    fields : every field at fault.
    request_id : id by which the service's log names the request; None where the problem states none.
    """

    def __init__(
        self,
        status: int,
        title: str,
        detail: str,
        type: str,
        code: str | None,
        fields: tuple[FieldFault, ...],
        request_id: str | None = None,
    ) -> None:
        super().__init__(status, title, detail, type, code, fields, request_id)
        self.status = status
        self.title = title
        self.detail = detail
        self.type = type
        self.code = code
        self.fields = fields
        self.request_id = request_id

    def __str__(self) -> str:
        head = f"{self.title} ({self.status})"
        return "\n".join([f"{head}: {self.detail}" if self.detail else head, *map(self._line, self.fields)])

    def _line(self, fault: FieldFault) -> str:
        place = fault.pointer or "(the whole request)"
        return f"  {place}" if fault.detail == self.detail else f"  {place}: {fault.detail}"
