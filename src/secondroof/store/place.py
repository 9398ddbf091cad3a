"""Where the store lies when nobody names a place."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

FILE_NAME = "jobs.sqlite"


def data_folder(
    environ: Mapping[str, str] | None = None, platform: str | None = None, home: Path | None = None
) -> Path:
    """Folder for a person's own data on this kind of machine; it is not made here.

    Parameters
    ----------
    environ : mapping, optional
        Environment; ``SECONDROOF_DATA`` names the folder outright.
    platform : str, optional
        As ``sys.platform``.
    home : Path, optional
        The person's home folder.
    """
    env = os.environ if environ is None else environ
    kind = sys.platform if platform is None else platform
    base = Path.home() if home is None else home
    if named := env.get("SECONDROOF_DATA"):
        return Path(named)
    if kind == "win32":
        return Path(env.get("LOCALAPPDATA") or base / "AppData" / "Local") / "secondroof"
    if kind == "darwin":
        return base / "Library" / "Application Support" / "secondroof"
    return Path(env.get("XDG_DATA_HOME") or base / ".local" / "share") / "secondroof"


def default_store() -> Path:
    """Path of the store file in the person's data folder."""
    return data_folder() / FILE_NAME
