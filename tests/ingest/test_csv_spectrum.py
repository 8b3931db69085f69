"""The csv-spectrum corpus: our reader sees the cells that its authors say are there.

Source: the npm package csv-spectrum by Max Ogden (BSD-2-Clause); `.ci/run` installs it. Its tables are no logs: the
name of the first column is exchanged for one that a log has, and nothing else.
"""

import json
import os
from pathlib import Path

import pytest

from ingest.csv_text import read_csv

CORPUS = Path(__file__).parents[2] / "node_modules" / "csv-spectrum"
NAMES = (
    *("comma_in_quotes", "empty", "empty_crlf", "escaped_quotes", "json", "location_coordinates", "newlines"),
    *("newlines_crlf", "quotes_and_newlines", "simple", "simple_crlf", "utf8"),
)


@pytest.fixture(autouse=True)
def the_corpus_is_here() -> None:
    if not CORPUS.is_dir():
        told = "no npm package csv-spectrum here; .ci/run installs it"
        if os.environ.get("HALFLONG_BROWSER") == "required":
            pytest.fail(told)
        pytest.skip(told)


@pytest.mark.parametrize("name", NAMES)
def test_the_cells_are_those_that_the_corpus_expects(name: str) -> None:
    first, _, rest = (CORPUS / "csvs" / f"{name}.csv").read_bytes().partition(b",")
    rows = json.loads((CORPUS / "json" / f"{name}.json").read_text("utf-8"))
    expected = [list(row.values()) for row in (rows if isinstance(rows, list) else [rows])]

    if name == "location_coordinates":
        expected[0][0] = "2095257564"  # the corpus has another telephone number in its JSON than in its CSV

    grid = read_csv(f"{name}.csv", b"player," + rest)

    assert first
    assert [list(cells) for _, *cells in grid.cells.iter_rows()] == expected


def test_no_table_of_the_corpus_is_left_out() -> None:
    assert {file.stem for file in (CORPUS / "csvs").iterdir()} == set(NAMES)
