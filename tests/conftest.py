"""How the property tests run: the same examples every time in CI, others each time elsewhere."""

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("ci")
