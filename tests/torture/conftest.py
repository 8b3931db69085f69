"""These tests publish few tables, as the processes that they start do: they are about how, not about what."""

from collections.abc import Iterator

import pytest

import sql.build as building
from tests.torture.commands import few_models


@pytest.fixture(scope="package", autouse=True)
def _few_tables() -> Iterator[None]:
    few = few_models()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(building, "models_in_order", lambda: few)
        patch.setattr(building, "make_judgements", lambda *_: ())
        yield
