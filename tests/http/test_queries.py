"""Query parameters."""

import pytest

from service_client import Service

PATH = "/v1/effective-f-number"


def pointers(service: Service, query: str) -> set[str]:
    answer = service.get(f"{PATH}?{query}")
    assert answer.status_code == 422, answer.text
    return {error["pointer"] for error in answer.json()["errors"]}


@pytest.mark.parametrize("path", [PATH + "?f_number=8&magnification=1&", "/v1/catalogue/sensors?"])
def test_an_unknown_parameter_is_refused_and_named(service: Service, path: str) -> None:
    """Q01"""
    answer = service.get(path + "colour=red")
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == ["/colour"]


def test_a_repeated_parameter_is_refused(service: Service) -> None:
    """Q02"""
    assert pointers(service, "f_number=8&magnification=1&f_number=8") == {"/f_number"}


LISTS = {
    "/v1/flash?iso=100&f_number=8&magnification=1": ("guide_numbers_m", ["20", "28.5"], "flash_distances_mm=400,500"),
    "/v1/diffraction?f_number=8&magnification=1": ("sensor_details_lp_per_mm", ["40", "60", "8e1"], ""),
    "/v1/optimum-aperture?magnification=2&subject_depth_mm=1": ("f_numbers", ["5.6", "8"], ""),
}


@pytest.mark.parametrize("path", LISTS)
def test_a_list_is_read_as_commas_and_as_repeated_names(service: Service, path: str) -> None:
    """Q11"""
    name, values, others = LISTS[path]
    by_commas = service.get(f"{path}&{others}&{name}={','.join(values)}")
    repeated = "&".join(f"{name}={value}" for value in values)
    mixed = f"{name}={','.join(values[:-1])}&{name}={values[-1]}"
    assert by_commas.status_code == 200, by_commas.text
    for other in (repeated, mixed):
        answer = service.get(f"{path}&{others}&{other}")
        assert (answer.status_code, answer.text) == (200, by_commas.text)


def test_a_value_of_a_repeated_list_that_does_not_pass_is_named_by_its_place(service: Service) -> None:
    """Q11"""
    answer = service.get("/v1/optimum-aperture?magnification=2&subject_depth_mm=1&f_numbers=8&f_numbers=x&f_numbers=")
    assert answer.status_code == 422
    assert {error["pointer"] for error in answer.json()["errors"]} == {"/f_numbers/1", "/f_numbers/2"}


def test_a_list_is_as_short_under_repeated_names_as_it_has_to_be(service: Service) -> None:
    """Q11"""
    many = "&f_numbers=8" * 500
    answer = service.get(f"/v1/optimum-aperture?magnification=2&subject_depth_mm=1{many}")
    assert answer.status_code == 422
    assert {error["pointer"] for error in answer.json()["errors"]} == {"/f_numbers"}


@pytest.mark.parametrize(
    "value",
    ["inf", "nan", "0x8", "8_0", "08", "+8", "%EF%BC%98", "%D9%A8", "", "8%20", "1e999", "8,5", "8f", "[8]", "true"],
)
def test_only_plain_finite_numbers_pass(service: Service, value: str) -> None:
    """Q03"""
    assert pointers(service, f"f_number={value}&magnification=1") == {"/f_number"}


@pytest.mark.parametrize("value", ["8", "8.0", "0.8e1", "80E-1", "8e0"])
def test_every_form_of_a_json_number_passes(service: Service, value: str) -> None:
    """Q03"""
    assert service.get(f"{PATH}?f_number={value}&magnification=1").json()["effective_f_number"] == 16


@pytest.mark.parametrize("query", ["f_number=%", "f_number=%zz", "f_number=%ff", "%c0%af=1", "a=%ed%a0%80"])
def test_broken_percent_encoding_is_refused(service: Service, query: str) -> None:
    """Q04"""
    with service.wire() as wire:
        wire.send(f"GET {PATH}?{query} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
        assert wire.answer().status == 400


def test_line_breaks_in_a_value_become_no_header(service: Service) -> None:
    """Q04"""
    answer = service.get(PATH + "?f_number=8%0d%0aX-Evil:%20yes&magnification=1")
    assert answer.status_code == 422
    assert "X-Evil" not in answer.headers


def test_missing_parameters_are_named_together(service: Service) -> None:
    """Q05"""
    assert pointers(service, "pupil_magnification=1") == {"/f_number", "/magnification"}


def test_a_document_travels_in_the_query(service: Service) -> None:
    """Q05"""
    missing = service.get("/v1/set-ups/evaluate")
    assert missing.status_code == 422
    assert missing.json()["errors"][0]["pointer"] == "/document"
    assert service.get("/v1/set-ups/evaluate?document={").status_code == 400


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("8,5", "Give a number, with a decimal point: 8.5."),
        ("eight", "Give a number."),
        ("1e9", "Give a number from 0.5 to 256."),
    ],
)
def test_a_number_that_does_not_pass_is_told_what_would(service: Service, value: str, says: str) -> None:
    errors = service.get(f"{PATH}?f_number={value}&magnification=1").json()["errors"]
    assert [error["detail"] for error in errors] == [says]


def test_bounds_are_told_in_full(service: Service) -> None:
    errors = service.get("/v1/magnification?subject_width_mm=2e6&sensor=36x24").json()["errors"]
    assert [error["detail"] for error in errors] == ["Give a number from 0.001 to 1000000 mm."]
