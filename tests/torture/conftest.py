"""These tests publish few tables, as the processes that they start do: they are about how, not about what."""

from collections.abc import Iterator

import pytest

from tests.few_tables import few_tables


@pytest.fixture(scope="package", autouse=True)
def _few_tables() -> Iterator[None]:
    with few_tables():
        yield
