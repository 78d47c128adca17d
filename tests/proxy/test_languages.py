"""The language of an answer behind the proxy: by the segment of its address, or by what the client accepts."""

import pytest

from service_client import Service

PAGE = "/privacy"
CAUTIONS = "/v1/cautions"


def test_an_answer_below_the_segment_is_german_and_kept_by_itself(through: Service) -> None:
    english, german = through.get(CAUTIONS), through.get(f"/de{CAUTIONS}")
    assert english.json() != german.json()
    assert through.get(f"/de{CAUTIONS}").content == german.content
    assert through.get(CAUTIONS, headers={"Accept-Language": "de"}).content == english.content


def test_rules_for_photographs_hold_below_the_segment(through: Service) -> None:
    large = {"photo": ("ruler.jpg", b"\0" * 2_000_000)}
    assert through.ask("POST", "/de/v1/scale-reading/photo", files=large).status_code != 413


@pytest.mark.parametrize("path", ["/de/metrics", "/en/metrics"])
def test_figures_stay_hidden_below_the_segment(through: Service, path: str) -> None:
    assert through.get(path).status_code == 404


def test_a_page_without_a_segment_is_kept_for_each_language(through: Service) -> None:
    def page(accepted: str) -> str:
        answer = through.get(PAGE, headers={"Accept-Language": accepted})
        assert answer.headers["Content-Language"] == accepted[:2]
        return str(answer.text)

    english, german = page("en"), page("de-AT,de;q=0.9")
    assert '<html lang="en">' in english
    assert '<html lang="de">' in german
    assert (page("en"), page("de")) == (english, german)
    assert through.get(f"/de{PAGE}", headers={"Accept-Language": "en"}).text == german
