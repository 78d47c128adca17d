"""Pictures through the client: bytes of the media type, or its errors."""

import io
from typing import Any

import pytest
from PIL import Image

from closeup_client import AnswerNotUnderstood, Client, ServiceRefused, lens, spacer
from closeup_client.messages import Reply, content_of
from closeup_service.operations.registry import operations
from method_names import method_name


def test_the_svg_is_the_member_of_the_answer(client: Client) -> None:
    answer = client.scale_bar(scale_px_per_mm=500, image_width_px=6000)
    assert client.scale_bar_image(scale_px_per_mm=500, image_width_px=6000) == answer.svg.encode()


def test_the_png_has_the_bar_that_the_answer_tells(client: Client) -> None:
    asked = {"scale_px_per_mm": 512.3, "image_width_px": 6000.0}
    answer = client.scale_bar(**asked, show_label=False, outline_colour="none")  # type: ignore[arg-type]
    image = client.scale_bar_image("image/png", **asked, show_label=False, outline_colour="none")  # type: ignore[arg-type]
    assert Image.open(io.BytesIO(image)).width == answer.drawn_px


def test_what_is_refused_names_its_fields(client: Client) -> None:
    with pytest.raises(ServiceRefused) as refusal:
        client.scale_bar_image("image/png", image_width_px=6000)
    assert refusal.value.status == 422
    assert {fault.pointer for fault in refusal.value.fields} == {
        "/magnification",
        "/scale_px_per_mm",
        "/subject_width_mm",
    }


def test_a_media_type_that_the_service_does_not_give_is_refused(client: Client) -> None:
    with pytest.raises(ServiceRefused) as refusal:
        client.scale_bar_image("image/webp", scale_px_per_mm=500, image_width_px=6000)  # type: ignore[arg-type]
    assert refusal.value.status == 406


def test_content_of_another_media_type_is_not_passed_off_as_a_picture() -> None:
    reply = Reply("http://somewhere.invalid/v1/scale-bar", 200, "text/html", b"picture")
    with pytest.raises(AnswerNotUnderstood, match="text/html and not image/png"):
        content_of(reply, "image/png")
    assert content_of(reply._replace(media_type="Image/PNG; charset=binary"), "image/png") == b"picture"


def test_the_budget_of_a_reading_arrives_as_records(client: Client) -> None:
    answer = client.scale_reading(first_mark_mm=20.2, last_mark_mm=35.2, sensor="23.5x15.6", reading_error_mm=0.1)
    assert answer.ratio == "1.57:1"
    assert [part.source for part in answer.contributions] == ["reading", "ruler", "sensor", "tilt"]
    assert answer.dominant == "reading"
    assert answer.contributions[0].variance_share == 1


DOCUMENT: dict[str, Any] = {
    "camera": {"register_mm": 18.0, "sensor": "23.5x15.6"},
    "train": [{"element": "lens", "focal_length_mm": 50, "f_number": 8, "register_mm": 45.46}, spacer(length_mm=77.46)],
}


def test_drawings_and_the_sheet_come_as_bytes(client: Client) -> None:
    assert client.drawing_image(**DOCUMENT, width_px=700).startswith(
        b'<svg xmlns="http://www.w3.org/2000/svg" width="700"'
    )
    assert client.frame_drawing_image(**DOCUMENT, subject_width_mm=8).startswith(b"<svg ")
    page = client.sheet_page(**DOCUMENT, heading="Lichen on slate").decode()
    assert page.startswith("<!DOCTYPE html>")
    assert "<h1>Lichen on slate</h1>" in page


def test_a_set_up_that_cannot_be_is_refused_as_a_drawing_too(client: Client) -> None:
    with pytest.raises(ServiceRefused) as refusal:
        client.drawing_image(camera=DOCUMENT["camera"], train=[spacer(length_mm=10)])
    assert refusal.value.status == 422


def test_a_chart_is_had_as_rows_and_as_a_drawing(client: Client) -> None:
    asked = {
        "camera": {"register_mm": 44.0},
        "train": [lens(focal_length_mm=50, f_number=8, register_mm=44.0), spacer()],
    }
    answer = client.magnification_chart(**asked, along="/train/1/length_mm", minimum=25, maximum=100, points=4)  # type: ignore[arg-type]
    assert [row.length_mm for row in answer.rows] == [25, 50, 75, 100]
    magnifications = [row.magnification for row in answer.rows]
    assert magnifications == pytest.approx([0.5, 1, 1.5, 2])  # extension = f m, Newton's form of the lens equation
    drawn = client.magnification_chart_image(**asked, along="/train/1/length_mm", minimum=25, maximum=100, points=4)  # type: ignore[arg-type]
    assert drawn.startswith(b"<svg ")
    assert answer.finding.encode() in drawn


def test_every_chart_is_drawn_through_its_method(client: Client) -> None:
    for operation in operations():
        if operation.tag == "chart":
            drawn = getattr(client, f"{method_name(operation)}_image")(**operation.examples[0].request, width_px=400)
            assert drawn.startswith(b"<svg ")
            assert b'width="400"' in drawn
