"""Where generated and compiled code is kept."""

import os
from pathlib import Path


def cache_folder() -> Path:
    """Where generated code is kept: ``DRILLYARD_CACHE``, else the user's cache folder."""
    named = os.environ.get("DRILLYARD_CACHE")
    if named:
        return Path(named)
    base = os.environ.get("LOCALAPPDATA") or os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "drillyard"
