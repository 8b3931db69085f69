"""Rows numbered by their keys for the judgements: alike where the keys are, rising with them."""

import polars as pl
from hypothesis import given
from hypothesis import strategies as st

from sql.judging import numbered

KEYS = st.lists(st.tuples(st.none() | st.text(max_size=2), st.none() | st.integers(-2, 2), st.booleans()), max_size=12)


@given(KEYS)
def test_numbers_rise_with_the_keys_from_nought_and_what_is_empty_comes_first(keys: list[tuple[object, ...]]) -> None:
    rows = pl.DataFrame(keys, schema={"text": pl.String, "number": pl.Int64, "flag": pl.Boolean}, orient="row")

    places = rows.unique().sort("text", "number", "flag").rows()
    assert numbered(rows, "text", "number", "flag").tolist() == [places.index(key) for key in keys]
