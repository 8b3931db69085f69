"""A folder is served once: whoever serves holds it, and tells everybody else where."""

from collections.abc import Iterator
from contextlib import contextmanager

from filelock import FileLock, Timeout

from models.refusal import Refused
from sql.folder import DataFolder, write_whole


class NotServed(Refused):
    """The screens cannot be served as asked; the text says why."""


@contextmanager
def served_once(folder: DataFolder, url: str) -> Iterator[None]:
    """Hold the folder against being served twice, and note where it is served. Raises NotServed."""
    folder.path.mkdir(parents=True, exist_ok=True)
    lock = _serving_lock(folder)
    try:
        lock.acquire(timeout=1)  # Whoever looks whether it is served holds the lock for an instant.
    except Timeout as error:
        where = _noted_url(folder)
        address = f" at {where}" if where else ""
        raise NotServed(f"{folder.path} is served already{address}. Use that one, or stop it first.") from error
    try:
        write_whole(folder.path / "serving.url", f"{url}\n")
        yield
    finally:
        lock.release()


def served_at(folder: DataFolder) -> str | None:
    """Where the folder is served now; None where it is not."""
    lock = _serving_lock(folder)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        return _noted_url(folder)
    lock.release()
    return None


def _serving_lock(folder: DataFolder) -> FileLock:
    return FileLock(folder.path / "serving.lock", thread_local=False)


def _noted_url(folder: DataFolder) -> str | None:
    try:
        return (folder.path / "serving.url").read_text(encoding="utf-8").strip() or None
    except FileNotFoundError:
        return None
