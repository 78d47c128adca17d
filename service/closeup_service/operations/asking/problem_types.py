"""The kinds of problem: each has a page at its address, a status, a constant title, and what to do about it."""

from msgspec import Struct

from closeup_service.language import mark


class ProblemType(Struct, frozen=True):
    """One kind of problem: its slug under /problems/, status, constant title, and what to do about it."""

    slug: str
    status: int
    title: str
    remedy: str


_TYPES = (
    ProblemType(
        "not-json",
        400,
        mark("The request cannot be parsed"),
        mark(
            "Send one JSON object in UTF-8: unique member names, finite numbers, no comments, no byte order mark.",
        ),
    ),
    ProblemType(
        "invalid-fields",
        422,
        mark("Some fields are not valid"),
        mark("Each entry of errors names a field by JSON pointer and says what would be right."),
    ),
    ProblemType(
        "impossible",
        422,
        mark("This set-up cannot be"),
        mark(
            "The values are well formed, but optics does not allow them together: the detail says why and what "
            "would mend it.",
        ),
    ),
    ProblemType(
        "undetermined",
        422,
        mark("The data do not determine this"),
        mark("Add the member that errors names; the detail says how to find its value."),
    ),
    ProblemType(
        "no-solution",
        422,
        mark("No value reaches the target"),
        mark(
            "The detail states the nearest attainable value: change the target, the range, or the parts.",
        ),
    ),
    ProblemType(
        "photo-not-readable",
        422,
        mark("This photograph cannot be read"),
        mark(
            "Send a JPEG, PNG or TIFF file in grey or colour with 8 or 16 bits; the detail says what is wrong "
            "with this one.",
        ),
    ),
    ProblemType(
        "no-sure-reading",
        422,
        mark("The photograph gives no sure reading"),
        mark(
            "The detail says what was not found: photograph a plain ruler, evenly lit and in focus, across the frame.",
        ),
    ),
    ProblemType(
        "frames-differ",
        422,
        mark("The photographs do not compare"),
        mark(
            "Take them of the same ruler at the same magnification and develop them alike; the detail names "
            "which differ.",
        ),
    ),
    ProblemType(
        "not-multipart",
        400,
        mark("The form cannot be parsed"),
        mark(
            "Send multipart/form-data (RFC 7578): a boundary, each part with a name, the photograph with a file name.",
        ),
    ),
    ProblemType(
        "not-found", 404, mark("There is nothing at this address"), mark("See /docs for the addresses there are.")
    ),
    ProblemType(
        "method-not-allowed",
        405,
        mark("This method is not offered here"),
        mark("Use a method that the Allow header lists."),
    ),
    ProblemType("not-acceptable", 406, mark("No media type that the client accepts"), mark("Accept application/json.")),
    ProblemType(
        "unsupported-media-type",
        415,
        mark("This media type is not read"),
        mark(
            "Send what Accept names: JSON in UTF-8 as Content-Type: application/json, or a form with files; no "
            "Content-Encoding.",
        ),
    ),
    ProblemType(
        "request-timeout",
        408,
        mark("The body arrived too slowly"),
        mark(
            "Send the body without pauses: after the first 10 s, at least 50 kB a second are required. The connection is "
            "closed.",
        ),
    ),
    ProblemType(
        "precondition-failed",
        412,
        mark("The condition of the request is not met"),
        mark("Send the request without If-Match, or with the current entity tag of the answer."),
    ),
    ProblemType("content-too-large", 413, mark("The request is too large"), mark("Send a smaller body.")),
    ProblemType(
        "too-many-requests",
        429,
        mark("Too many requests"),
        mark(
            "Wait for as long as Retry-After says. The limit belongs to the proxy before the service.",
        ),
    ),
    ProblemType(
        "busy",
        503,
        mark("The service is busy with heavy requests"),
        mark(
            "Photographs and heavy calculations are answered one at a time in each process. Send the request again after as "
            "many seconds as Retry-After says: it has waited for its turn as long as the operator lets it, or too many wait "
            "already. Where the detail says that it took too long, ask for less at once. Small requests are still answered.",
        ),
    ),
    ProblemType(
        "expectation-failed",
        417,
        mark("The expectation cannot be met"),
        mark("Send Expect: 100-continue, or no Expect header."),
    ),
    ProblemType(
        "not-implemented",
        501,
        mark("The request needs what is not offered"),
        mark("Send the body with Content-Length, or as Transfer-Encoding: chunked."),
    ),
    ProblemType(
        "http-version-not-supported",
        505,
        mark("This version of HTTP is not supported"),
        mark("Use HTTP/1.1 or HTTP/1.0."),
    ),
    ProblemType(
        "misdirected-request",
        421,
        mark("This name is not answered to here"),
        mark("Ask by a name that the operator has listed in --allowed-hosts."),
    ),
    ProblemType(
        "uri-too-long",
        414,
        mark("The address is too long"),
        mark("Send the request by POST. The server or the proxy says this."),
    ),
    ProblemType(
        "header-fields-too-large",
        431,
        mark("The header fields are too large"),
        mark("Send fewer and shorter header fields. The server or the proxy says this."),
    ),
    ProblemType(
        "bad-gateway",
        502,
        mark("The service cannot be reached"),
        mark(
            "Wait for as long as Retry-After says, and ask again. The proxy before the service says this.",
        ),
    ),
    ProblemType(
        "service-unavailable",
        503,
        mark("The service cannot answer now"),
        mark(
            "Wait for as long as Retry-After says, and ask again. The proxy before the service says this.",
        ),
    ),
    ProblemType(
        "gateway-timeout",
        504,
        mark("The service took too long"),
        mark(
            "Ask for less at once: fewer rows, or a smaller photograph. The proxy before the service says this.",
        ),
    ),
    ProblemType("bad-request", 400, mark("The request cannot be understood"), mark("Send a well-formed HTTP request.")),
    ProblemType(
        "internal-error",
        500,
        mark("The service made a mistake"),
        mark("Nothing is wrong with the request: report it, please."),
    ),
)
PROBLEM_TYPES = {kind.slug: kind for kind in _TYPES}
