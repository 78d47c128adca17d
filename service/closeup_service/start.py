"""The command `closeup-service`, which says what it lacks where only the client was installed."""

import importlib
import sys

LACKING = "closeup-service: there is no {} here. In a clone of the repository: pip install '.[service]'"


def main() -> None:
    """Start the service, or say what is missing."""
    try:
        serve = importlib.import_module("closeup_service.http.serve")
    except ModuleNotFoundError as error:
        if error.name is None or error.name.startswith("closeup_service"):
            raise
        sys.exit(LACKING.format(error.name))
    serve.main()
