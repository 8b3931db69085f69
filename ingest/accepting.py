"""A coach stands by what players logged of themselves: from then on no figure marks those balls."""

from collections.abc import Callable, Iterable

from ingest.loading import Permit
from sql.accepting import mark_accepted
from sql.build import build
from sql.concerned import concerned_by_batch
from sql.folder import DataFolder
from sql.warehouse import held, transaction, utc_now, warehouse


def accept(
    folder: DataFolder,
    batches: Iterable[int],
    who: str,
    *,
    permit: Permit = lambda *_: None,
    say: Callable[[str], None] = lambda _: None,
) -> None:
    """Accept batches that players logged of themselves, all or none, and publish.

    Raises CannotAccept, and what `permit` raises.
    """
    with held(folder, say):
        with warehouse(folder) as connection, transaction(connection):
            for batch in batches:
                if found := concerned_by_batch(connection, batch):
                    permit(*found)
                mark_accepted(connection, batch, who, utc_now())
        build(folder)
