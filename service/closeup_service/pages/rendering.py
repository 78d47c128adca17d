"""Rendering a page, and what every page is sent with."""

from flask import Response, render_template

LIFETIME = "public, max-age=3600"
HTML, CSS, JAVASCRIPT = (f"text/{kind}; charset=utf-8" for kind in ("html", "css", "javascript"))


def page(template: str, **values: object) -> Response:
    """Render one page."""
    return send_text(render_template(template, **values))


def send_text(text: str) -> Response:
    """Send the text of a page."""
    return Response(text, content_type=HTML, headers={"Cache-Control": LIFETIME})
