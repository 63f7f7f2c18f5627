"""The system's Chromium, and how the browser tests start it."""

from __future__ import annotations

import shutil

NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM = next((found for name in NAMES if (found := shutil.which(name))), "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
