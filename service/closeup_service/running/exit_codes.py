"""How the service can end."""

EXIT_BAD_SETTINGS = 78
EXIT_NO_PLACE = 73
EXIT_CANNOT_LISTEN = 69
EXIT_CODES = {
    0: "told to end, and ended",
    EXIT_BAD_SETTINGS: "a setting is wrong, or the kit has a fault",
    EXIT_NO_PLACE: "no place to write the counts to",
    EXIT_CANNOT_LISTEN: "the address cannot be listened on",
}
