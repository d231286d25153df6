"""What the tests of the built site share."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from built_site import demo  # noqa: E402, F401
