"""What the next command mends without being asked: a publication that is lost, or behind the log."""

from typing import TYPE_CHECKING

from sql.folder import DataFolder, FolderProblem
from sql.holding import Say, require_restored
from sql.warehouse import held, is_free

if TYPE_CHECKING:
    from sql.making_tables import Progress


def put_in_order(folder: DataFolder, say: Say, progress: "Progress" = lambda *_: None) -> None:
    """Mend what a process that died, or a full disk, left undone, and say so; at once where nothing is to be done.

    What cannot be mended is said too, and is no error: the publication in force can still be read. Raises FolderProblem
    only where a restore was cut off.
    """
    require_restored(folder)
    if not _is_out_of_order(folder):
        return
    # Every command passes here, and few have to build: to load all that a build judges by takes half a second.
    from sql.build import build, is_current  # noqa: PLC0415
    from sql.making_tables import BuildFailed  # noqa: PLC0415

    try:
        with held(folder, say):
            if is_current(folder):
                folder.owed_file.unlink(missing_ok=True)
                return
            number = build(folder, progress).number
        say(f"The published tables were lost or behind the log; they are made again as publication {number}.")
    except (FolderProblem, BuildFailed) as problem:
        say(f"The published tables are lost or behind the log, and could not be made again: {problem}")


def _is_out_of_order(folder: DataFolder) -> bool:
    if not folder.warehouse_file.exists():
        return False
    publication = folder.publication_in_force()
    is_lost = publication is None or not publication.exists()
    marks = (folder.owed_file, folder.erased_file, folder.holder_file)
    return (is_lost or any(mark.exists() for mark in marks)) and is_free(folder)
