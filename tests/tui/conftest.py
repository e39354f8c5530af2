"""Every test of the screens runs without animations and in the app's own colours."""

import os

# Read by the screen library when it is imported, so before any test module.
os.environ["TEXTUAL_ANIMATIONS"] = "none"
for name in ("TEXTUAL_THEME", "NO_COLOR", "BOMTUI_ASCII"):
    os.environ.pop(name, None)
