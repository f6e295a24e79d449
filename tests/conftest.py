"""Hypothesis profiles. `dev` looks for new examples at every run; `ci` repeats the same ones.

Neither has a deadline: the first call of a kernel compiles it, and no test depends on timing.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("dev", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI", "false") == "true" else "dev")
