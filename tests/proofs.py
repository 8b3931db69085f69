"""Which cases belong to the long form of a test: `uv run pytest -m proof`. One or two stay in the default."""

from typing import Any

import pytest


def in_proof(*values: Any) -> Any:
    """A case of the long form only."""
    return pytest.param(*values, marks=pytest.mark.proof)


LOOKS = [(390, "dark"), *(in_proof(look) for look in ((390, "light"), (1280, "light"), (1280, "dark")))]
"""Widths and colour schemes in which a page is looked at."""
