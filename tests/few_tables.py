"""Publications of a few tables only, for tests about how a club is kept: the same steps in a fraction of the time.

And publications without the comments of their headers, which take as long as all checks.
"""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

import sql.build as building
import sql.making_tables as making
from sql.catalogue import Model, models_needed

PUBLISHED = (
    *("core.batches", "core.refusals", "core.fed_lines", "core.table_blocks", "report.build", "report.next_blocks"),
)
"""What came in, what of it counts, and the number that the next block gets; and what they read."""


@contextmanager
def few_tables(*more: str) -> Iterator[None]:
    """Whatever is published here holds only those tables, and more that are named."""
    with pytest.MonkeyPatch.context() as patch:
        _publish_few_tables(patch, *more)
        yield


def publish_few_tables() -> None:
    """Whatever this process publishes from now on holds only those tables."""
    _publish_few_tables(pytest.MonkeyPatch())


def _publish_few_tables(patch: pytest.MonkeyPatch, *more: str) -> None:
    few = few_models(*more)
    patch.setattr(building, "models_in_order", lambda: few)
    patch.setattr(building, "make_judgements", lambda *_: ())


def few_models(*more: str) -> tuple[Model, ...]:
    """The models of the tables that are looked at, and those that they read."""
    return models_needed({*PUBLISHED, *more})


@pytest.fixture(scope="module", autouse=True)
def without_comments(request: pytest.FixtureRequest) -> Iterator[None]:
    """No table that is made here explains its columns, but for modules that say `LOOKS_AT_COMMENTS`."""
    with pytest.MonkeyPatch.context() as patch:
        if not getattr(request.module, "LOOKS_AT_COMMENTS", False):
            patch.setattr(making, "_comments", lambda model: [f"comment on table {model.table} is null"])
        yield
