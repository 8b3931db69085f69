"""How every question is asked: at a desk, of the publication in force, and kept for as long as that is."""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import polars as pl

from sql.folder import DataFolder
from sql.warehouse import NothingPublished, ask


@dataclass(frozen=True)
class Desk:
    """Where somebody sits and asks: the club's data folder."""

    folder: DataFolder


def answer(desk: Desk, question: str, **parameters: Any) -> pl.DataFrame:
    """The rows that answer the question. Raises NothingPublished."""
    publication = desk.folder.publication_in_force()
    if publication is None:
        raise NothingPublished(desk.folder)
    return _cached(desk.folder, publication, question, tuple(sorted(parameters.items())))


@lru_cache(maxsize=256)
def _cached(
    folder: DataFolder, _publication: Path, question: str, parameters: tuple[tuple[str, Any], ...]
) -> pl.DataFrame:
    # A publication never changes under its name, so an answer holds for as long as the name is in force.
    return ask(folder, question, dict(parameters))
