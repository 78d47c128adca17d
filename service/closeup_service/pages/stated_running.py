"""Settings, exit codes and the log as the documentation states them."""

from closeup_service.pages.running import Running, StatedSetting
from closeup_service.running import logs
from closeup_service.running.exit_codes import EXIT_CODES
from closeup_service.running.settings import FORMS, HELP, Settings, default_of, option, variable


def describe_running(settings: Settings) -> Running:
    """Return what is told of a service with these settings; of their values only how much it logs."""
    return Running(
        [
            StatedSetting(option(name), variable(name), default_of(name), FORMS[name], HELP[name])
            for name in Settings.__struct_fields__
        ],
        EXIT_CODES,
        logs.REQUEST_MEMBERS,
        logs.FULL_MEMBERS,
        logs.OTHER_MEMBERS,
        settings.access_log,
    )
