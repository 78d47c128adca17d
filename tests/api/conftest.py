"""The application in process."""

import pytest
from flask.testing import FlaskClient

from closeup_service.web.app import create_app


@pytest.fixture(scope="session")
def api() -> FlaskClient:
    return create_app().test_client()
