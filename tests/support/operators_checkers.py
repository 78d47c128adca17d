"""Checkers of the files for operators, where this machine has them."""

import shutil

PROMTOOL = shutil.which("promtool")
NO_PROMTOOL = "NO PROMTOOL HERE: rules of alert and scraping were not checked. Debian's package prometheus brings one."
SYSTEMD_ANALYZE = shutil.which("systemd-analyze")
NO_SYSTEMD = "There is no systemd-analyze here."
