"""Which cases belong to the long form of a test: `uv run pytest -m proof`. One or two stay in the default."""

import os
from typing import Any

import pytest

RUNS_PROOF = "HALFLONG_RUNS_PROOF"
"""Set where `-m proof` was asked for: then a property test is a proof too, on many more examples."""


def examples(few: int, many: int) -> int:
    """How many random examples a property test takes: few in the default, many in the proof."""
    return many if os.environ.get(RUNS_PROOF) else few


def in_proof(*values: Any) -> Any:
    """A case of the long form only."""
    return pytest.param(*values, marks=pytest.mark.proof)


LOOKS = [(390, "dark"), *(in_proof(look) for look in ((390, "light"), (1280, "light"), (1280, "dark")))]
"""Widths and colour schemes in which a page is looked at."""
