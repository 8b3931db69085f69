"""Files as they come in: where each stands, and in which order they are read."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from ingest.meanings import NOTHING_SAID, Meanings, Remembered, nothing_remembered
from ingest.problems import Unreadable
from ingest.reading import Reading, kind_at_top, read_log
from models.records import RECORDS

KIND_ORDER = tuple(RECORDS)
LONG_BYTES = 1_000_000


@dataclass(frozen=True)
class Incoming:
    """A file as it came, or where it stands; its kind, and how its dates are meant, where the user says so."""

    name: str
    content: bytes = b""
    source: str = "file"
    date_form: str | None = None
    kind: str | None = None
    path: Path | None = None
    is_own: bool = False
    """Its player, or a guardian of theirs, logged it: it is marked until a coach accepts it."""
    meant: Meanings = NOTHING_SAID
    """What somebody says of its columns and words now."""

    @classmethod
    def from_path(cls, path: Path, date_form: str | None = None, kind: str | None = None) -> "Incoming":
        """A file of this machine, which is read when its turn comes. Raises OSError where it cannot be."""
        with path.open("rb"):
            return cls(path.name, date_form=date_form, kind=kind, path=path)

    def read(self) -> bytes:
        """All of it. Raises OSError."""
        return self.path.read_bytes() if self.path else self.content

    def top(self, size: int) -> bytes:
        """So many bytes of it; fewer where it is shorter. Raises OSError."""
        if not self.path:
            return self.content[:size]
        with self.path.open("rb") as file:
            return file.read(size)


def in_loading_order(
    files: Iterable[Incoming], remembered: Remembered = nothing_remembered
) -> Iterator[tuple[Incoming, Reading | Unreadable]]:
    """Each file as read, by kind. A long one is read when its turn comes, so that memory holds one at a time."""
    waiting = [(file, _top_of_long_text(file) or _read(file, remembered)) for file in files]
    for file, seen in sorted(waiting, key=lambda pair: _rank(pair[1])):
        yield file, _read(file, remembered) if isinstance(seen, str) else seen


def _read(file: Incoming, remembered: Remembered) -> Reading | Unreadable:
    name, content = file.name, file.read()
    try:
        return read_log(
            name, content, kind=file.kind, date_form=file.date_form, meant=file.meant, remembered=remembered
        )
    except Unreadable as error:
        return error


def _top_of_long_text(file: Incoming) -> str | None:
    """The kind of a long text, told by its top; None for anything that must be read whole to know."""
    top = file.top(LONG_BYTES)
    return kind_at_top(file.name, top, kind=file.kind) if len(top) == LONG_BYTES else None


def _rank(seen: Reading | Unreadable | str) -> int:
    if isinstance(seen, Unreadable):
        return len(KIND_ORDER)
    return KIND_ORDER.index(seen if isinstance(seen, str) else seen.taken.kind)
