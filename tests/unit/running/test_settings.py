"""Settings are checked at start, each mistake in a line of its own."""

import pytest

from closeup_service.running.settings import BadSettings, Settings, read_settings, variable


def test_without_anything_the_defaults_hold() -> None:
    assert read_settings({}, {"PATH": "/usr/bin"}) == Settings()


def test_an_option_wins_over_its_variable() -> None:
    settings = read_settings({"port": "9000", "host": None}, {"CLOSEUP_PORT": "7000", "CLOSEUP_HOST": "::1"})
    assert (settings.port, settings.host) == (9000, "::1")


def test_every_setting_can_be_given() -> None:
    environment = {
        "CLOSEUP_HOST": "studio.local",
        "CLOSEUP_PORT": "8080",
        "CLOSEUP_WORKERS": "3",
        "CLOSEUP_THREADS": "5",
        "CLOSEUP_ALLOWED_ORIGINS": "https://club.example, http://127.0.0.1:8001",
        "CLOSEUP_ALLOWED_HOSTS": "Club.example, 127.0.0.1",
        "CLOSEUP_CONTACT_URL": "https://club.example/contact",
        "CLOSEUP_SERVER_URL": "https://club.example/closeup/",
        "CLOSEUP_PREFIX": "/closeup/",
        "CLOSEUP_MOST_UPLOAD_MB": "80",
        "CLOSEUP_MOST_MEGAPIXELS": "100",
    }
    assert read_settings({}, environment) == Settings(
        "studio.local",
        8080,
        3,
        5,
        ("https://club.example", "http://127.0.0.1:8001"),
        ("club.example", "127.0.0.1"),
        "https://club.example/contact",
        "https://club.example/closeup/",
        "/closeup",
        80,
        100,
    )


@pytest.mark.parametrize(
    ("variable", "value"),
    [
        ("CLOSEUP_PORT", "0"),
        ("CLOSEUP_PORT", "65536"),
        ("CLOSEUP_PORT", "８０００"),
        ("CLOSEUP_WORKERS", "-1"),
        ("CLOSEUP_WORKERS", "two"),
        ("CLOSEUP_THREADS", "1.5"),
        ("CLOSEUP_MOST_UPLOAD_MB", "0"),
        ("CLOSEUP_MOST_MEGAPIXELS", "1e3"),
        *(
            ("CLOSEUP_PREFIX", each)
            for each in ("closeup", "//", "/a//b", "/../b", "/a b", "/ä", "/a?b", '/"', "/%41", "/a\n")
        ),
        ("CLOSEUP_HOST", "300.1.1.1"),
        ("CLOSEUP_HOST", "a b"),
        ("CLOSEUP_ALLOWED_ORIGINS", "club.example"),
        ("CLOSEUP_ALLOWED_ORIGINS", "https://club.example/page"),
        ("CLOSEUP_ALLOWED_ORIGINS", "https://club.example,"),
        ("CLOSEUP_ALLOWED_ORIGINS", "https://club.example/"),
        ("CLOSEUP_ALLOWED_ORIGINS", "https://club.example?"),
        ("CLOSEUP_ALLOWED_ORIGINS", "https://club.example#top"),
        ("CLOSEUP_ALLOWED_ORIGINS", "https://studio@club.example"),
        ("CLOSEUP_CONTACT_URL", "mailto"),
        ("CLOSEUP_SERVER_URL", "ftp://club.example"),
        ("CLOSEUP_SERVER_URL", "https://[club"),
        ("CLOSEUP_PROT", "8000"),
    ],
)
def test_each_mistake_is_a_line_that_names_it(variable: str, value: str) -> None:
    with pytest.raises(BadSettings) as caught:
        read_settings({}, {variable: value})
    assert len(caught.value.lines) == 1
    assert caught.value.lines[0].startswith(variable)
    assert "\n" not in caught.value.lines[0]


def test_an_empty_variable_is_none() -> None:
    """Compose files pass on what is not set as nothing."""
    assert read_settings({}, {variable(name): "" for name in Settings.__struct_fields__}) == Settings()


@pytest.mark.parametrize("name", sorted({*Settings.__struct_fields__} - {"prefix"}))
def test_an_empty_option_is_a_mistake(name: str) -> None:
    with pytest.raises(BadSettings):
        read_settings({name: ""}, {})


@pytest.mark.parametrize(
    ("given", "sent"),
    [
        ("HTTPS://Club.Example", "https://club.example"),
        ("https://club.example:443", "https://club.example"),
        ("http://club.example:80", "http://club.example"),
        ("https://club.example:80", "https://club.example:80"),
        ("http://[::1]:8001", "http://[::1]:8001"),
    ],
)
def test_an_origin_is_compared_as_browsers_write_it(given: str, sent: str) -> None:
    assert read_settings({"allowed_origins": given}, {}).allowed_origins == (sent,)


def test_an_address_of_ipv6_stands_in_brackets_where_it_is_compared_and_shown() -> None:
    settings = read_settings({"allowed_hosts": "::1, Club.example", "host": "::1"}, {})
    assert settings.allowed_hosts == ("[::1]", "club.example")
    assert settings.address == "[::1]:8000"


def test_all_mistakes_are_told_at_once() -> None:
    with pytest.raises(BadSettings) as caught:
        read_settings({"threads": "0"}, {"CLOSEUP_PORT": "x", "CLOSEUP_WORKERS": "y"})
    assert len(caught.value.lines) == 3
