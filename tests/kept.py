"""What is kept between runs of the tests, in a folder that git ignores: built clubs, and compiled sources.

A club is kept under a fingerprint of everything that it is made of, so that none is ever older than its sources.
"""

import hashlib
import os
import platform
import shutil
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from filelock import FileLock

ROOT = Path(__file__).parents[1]
KEPT = ROOT / ".test_cache"

DEMO_IS_MADE_OF = ("models", "sql", "ingest", "demo_data", "dashboard/commands/demo.py", "uv.lock", "tests/kept.py")
"""Of the faces only the module that loads the demo."""

FORGOTTEN_AFTER_S = 3 * 24 * 3600.0
"""Clubs of other fingerprints go when nobody has asked for them for so long."""


def fingerprint(parts: Iterable[str], root: Path = ROOT) -> str:
    """Of every file of these parts, its name and its bytes, and of the Python that runs here."""
    told = hashlib.sha256(f"{sys.version} {platform.platform()}".encode())
    for part in parts:
        for file in sorted(_files(root / part)):
            told.update(f"\0{file.relative_to(root)}\0{file.stat().st_size}\0".encode())
            told.update(file.read_bytes())
    return told.hexdigest()[:20]


def _files(part: Path) -> Iterable[Path]:
    if not part.is_dir():
        return [part]  # A file, or a mistake that is told when it is read.
    return (file for file in part.rglob("*") if file.is_file() and "__pycache__" not in file.parts)


def made_once(place: Path, name: str, make: Callable[[Path], object]) -> Path:
    """A folder that is made once for all processes that ask for it at this place. Only to be copied."""
    place.mkdir(parents=True, exist_ok=True)
    made, draft = place / name, place / f"{name}-in-the-making"
    with FileLock(place / f"{name}.lock"):
        if not made.exists():
            shutil.rmtree(draft, ignore_errors=True)  # Whoever made it may have been stopped.
            make(draft)
            draft.rename(made)
        os.utime(place)
    return made


def kept_place(of: Iterable[str], kept: Path = KEPT) -> Path:
    """Where what is made of these parts is kept."""
    place = kept / "clubs" / fingerprint(of)
    place.mkdir(parents=True, exist_ok=True)
    for other in place.parent.iterdir():
        if other != place and other.stat().st_mtime < time.time() - FORGOTTEN_AFTER_S:
            shutil.rmtree(other, ignore_errors=True)
    return place


def keep_compiled() -> None:
    """Where Python is told to write no bytecode beside the sources, it is kept here: many processes are started."""
    if sys.dont_write_bytecode:
        sys.dont_write_bytecode = False
        sys.pycache_prefix = str(KEPT / "compiled")
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix
