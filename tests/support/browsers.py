"""Which browser there is, and how it is started."""

import shutil

NAMES = ("chromium", "chromium-browser")
OPTIONS = ("--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu", "--disable-background-networking")
BROWSER = next(filter(None, map(shutil.which, NAMES)), None)
NO_BROWSER = "NO BROWSER HERE: the tests of tests/browser were skipped. Debian's package chromium brings one."
