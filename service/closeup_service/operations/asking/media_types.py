"""Media types of requests and answers."""

JSON = "application/json"
PROBLEM_JSON = "application/problem+json"
MULTIPART = "multipart/form-data"
HTML = "text/html"
SVG = "image/svg+xml"
PNG = "image/png"
CSV = "text/csv"


def content_type(media_type: str) -> str:
    """Content-Type of an answer: text says its encoding."""
    return f"{media_type}; charset=utf-8" if media_type.startswith("text/") else media_type
