"""The kinds of problem: each has a page at its address, a status, a constant title, and what to do about it."""

from msgspec import Struct


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
        "The request cannot be parsed",
        "Send one JSON object in UTF-8: unique member names, finite numbers, no comments, no byte order mark.",
    ),
    ProblemType(
        "invalid-fields",
        422,
        "Some fields are not valid",
        "Each entry of errors names a field by JSON pointer and says what would be right.",
    ),
    ProblemType(
        "impossible",
        422,
        "This set-up cannot be",
        "The values are well formed, but optics does not allow them together: the detail says why and what would mend it.",
    ),
    ProblemType(
        "undetermined",
        422,
        "The data do not determine this",
        "Add the member that errors names; the detail says how to find its value.",
    ),
    ProblemType(
        "no-solution",
        422,
        "No value reaches the target",
        "The detail states the nearest attainable value: change the target, the range, or the parts.",
    ),
    ProblemType(
        "photo-not-readable",
        422,
        "This photograph cannot be read",
        "Send a JPEG, PNG or TIFF file in grey or colour with 8 or 16 bits; the detail says what is wrong with this one.",
    ),
    ProblemType(
        "no-sure-reading",
        422,
        "The photograph gives no sure reading",
        "The detail says what was not found: photograph a plain ruler, evenly lit and in focus, across the frame.",
    ),
    ProblemType(
        "frames-differ",
        422,
        "The photographs do not compare",
        "Take them of the same ruler at the same magnification and develop them alike; the detail names which differ.",
    ),
    ProblemType(
        "not-multipart",
        400,
        "The form cannot be parsed",
        "Send multipart/form-data (RFC 7578): a boundary, each part with a name, the photograph with a file name.",
    ),
    ProblemType("not-found", 404, "There is nothing at this address", "See /docs for the addresses there are."),
    ProblemType(
        "method-not-allowed",
        405,
        "This method is not offered here",
        "Use a method that the Allow header lists.",
    ),
    ProblemType("not-acceptable", 406, "No media type that the client accepts", "Accept application/json."),
    ProblemType(
        "unsupported-media-type",
        415,
        "This media type is not read",
        "Send what Accept names: JSON in UTF-8 as Content-Type: application/json, or a form with files; no Content-Encoding.",
    ),
    ProblemType("content-too-large", 413, "The request is too large", "Send a smaller body."),
    ProblemType(
        "too-many-requests",
        429,
        "Too many requests",
        "Wait for as long as Retry-After says. The limit belongs to the proxy before the service.",
    ),
    ProblemType(
        "busy",
        503,
        "The service is reading another photograph",
        "Send the photograph again after as many seconds as Retry-After says. It has waited for its turn as long as the "
        "operator lets it, or too many wait already; all other addresses go on answering.",
    ),
    ProblemType(
        "misdirected-request",
        421,
        "This name is not answered to here",
        "Ask by a name that the operator has listed in --allowed-hosts.",
    ),
    ProblemType(
        "uri-too-long",
        414,
        "The address is too long",
        "Send the request by POST. The proxy before the service says this.",
    ),
    ProblemType(
        "header-fields-too-large",
        431,
        "The header fields are too large",
        "Send fewer and shorter header fields. The proxy before the service says this.",
    ),
    ProblemType(
        "bad-gateway",
        502,
        "The service cannot be reached",
        "Wait for as long as Retry-After says, and ask again. The proxy before the service says this.",
    ),
    ProblemType(
        "service-unavailable",
        503,
        "The service cannot answer now",
        "Wait for as long as Retry-After says, and ask again. The proxy before the service says this.",
    ),
    ProblemType(
        "gateway-timeout",
        504,
        "The service took too long",
        "Ask for less at once: fewer rows, or a smaller photograph. The proxy before the service says this.",
    ),
    ProblemType("bad-request", 400, "The request cannot be understood", "Send a well-formed HTTP request."),
    ProblemType(
        "internal-error",
        500,
        "The service made a mistake",
        "Nothing is wrong with the request: report it, please.",
    ),
)
PROBLEM_TYPES = {kind.slug: kind for kind in _TYPES}
