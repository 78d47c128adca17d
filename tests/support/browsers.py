"""Which browser there is."""

import shutil

NAMES = ("chromium", "chromium-browser")
BROWSER = next(filter(None, map(shutil.which, NAMES)), None)
NO_BROWSER = "NO BROWSER HERE: the tests of tests/browser were skipped. Debian's package chromium brings one."
