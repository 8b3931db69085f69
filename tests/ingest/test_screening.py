"""Every line is accepted or refused, and bulk screening says what the record of a single form says."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from ingest.problems import Refusal
from ingest.screening import screen
from models.records import RECORDS, Column, columns_of
from models.shapes import Day, Number, OneOf, WholeNumber, YesOrNo
from models.words import DEPTH, HEIGHT, LENGTH, PLACEMENT, SIDE, SPIN
from sql.dials import Dials
from sql.log_book import Known
from tests.ingest.conftest import TODAY, reading_of
from tests.proofs import examples

KNOWN = Known(
    TODAY,
    frozenset({"P1", "P2"}),
    frozenset({"Juniors"}),
    {"BC": date(1900, 1, 1), "MR": date(2026, 3, 1)},
    {},
    {"R1": Dials(0, 10, -5, 5), "R2": Dials(1, 20)},
)
GOOD_LINE = {
    "session_date": "2026-05-04",
    "player": "P1",
    "setup": "BC",
    "spin": "backspin",
    "length": "short",
    "balls": "40",
    "good": "30",
}


def refusals_of(kind: str, *rows: dict[str, Any]) -> list[tuple[int | None, str | None]]:
    return [(refusal.line, refusal.column) for refusal in screen(reading_of(kind, rows), KNOWN).refusals]


def only_refusal(kind: str, row: dict[str, Any]) -> Refusal:
    (refusal,) = screen(reading_of(kind, [row]), KNOWN).refusals
    return refusal


def test_a_sound_line_is_accepted_with_its_values_typed() -> None:
    screened = screen(reading_of("sessions", [GOOD_LINE | {"tempo_bpm": "42.5", "spin": "Heavy Backspin"}]), KNOWN)

    assert not screened.refusals
    accepted = screened.accepted.row(0, named=True)
    assert accepted["session_date"] == date(2026, 5, 4)
    assert (accepted["balls"], accepted["good"], accepted["tempo_bpm"]) == (40, 30, 42.5)
    assert accepted["spin"] == "heavy_backspin"


def test_empty_places_in_the_identity_get_their_stated_defaults() -> None:
    accepted = screen(reading_of("sessions", [GOOD_LINE]), KNOWN).accepted.row(0, named=True)

    assert (accepted["session"], accepted["block"], accepted["feed"]) == ("1", 1, 1)


@pytest.mark.parametrize(
    ("change", "column", "to_do"),
    [
        ({"spin": "bakspin"}, "spin", "use backspin"),
        ({"spin": None}, "spin", "fill the cell in"),
        ({"balls": "0"}, "balls", "correct the cell"),
        ({"balls": "30.5"}, "balls", "correct the cell"),
        ({"balls": "1e1"}, "balls", "correct the cell"),
        ({"balls": "1.000"}, "balls", "correct the cell"),
        ({"session_date": "2026-02-31"}, "session_date", "correct the cell"),
        ({"session_date": "2026-11-26"}, "session_date", "correct the day"),
        ({"good": "41"}, "good", "count again: good may be at most balls"),
        ({"net": "9"}, "balls", "correct the counts, or leave all four error columns empty"),
        ({"player": "p1"}, "player", "use P1 if that is meant; otherwise load the players first"),
        ({"player": "Zoë"}, "player", "load the players first"),
        ({"setup": "BX"}, "setup", "use BC if that is meant; otherwise load the setups first"),
        (
            {"setup": "MR", "session_date": "2026-02-28"},
            "setup",
            "correct the day, or load the setup with an earlier valid_from",
        ),
        ({"tempo_bpm": "400"}, "tempo_bpm", "correct the cell"),
        ({"note": "bell \x07"}, "note", "correct the cell"),
    ],
)
def test_a_refusal_names_the_column_and_what_to_do(change: dict[str, str], column: str, to_do: str) -> None:
    refusal = only_refusal("sessions", GOOD_LINE | change)

    assert (column, to_do) == (refusal.column, refusal.to_do)
    assert refusal.line == 2
    assert refusal.expected


def test_error_columns_count_as_nought_where_empty() -> None:
    assert refusals_of("sessions", GOOD_LINE | {"net": "4", "long": "6"}) == []


def test_the_sum_of_a_good_line_without_error_columns_is_not_asked() -> None:
    assert refusals_of("sessions", GOOD_LINE | {"balls": "40", "good": "3"}) == []


def test_the_same_line_twice_is_kept_once_and_told() -> None:
    assert refusals_of("sessions", GOOD_LINE, GOOD_LINE | {"spin": "Backspin"}) == [(3, None)]


def test_lines_that_contradict_each_other_are_all_refused() -> None:
    assert refusals_of("sessions", GOOD_LINE, GOOD_LINE | {"good": "31"}) == [(2, None), (3, None)]


def test_every_fault_of_a_line_is_told_at_once() -> None:
    faults = refusals_of("sessions", GOOD_LINE | {"spin": "spinny", "length": "far", "balls": "x"})

    assert faults == [(2, "balls"), (2, "length"), (2, "spin")]


TARGET_LINE = {"target": "t", "applies_to": "*", "dimension": "depth", "value": "back", "share": "1"}


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ([TARGET_LINE], []),
        ([TARGET_LINE | {"applies_to": "Juniors"}], []),
        ([TARGET_LINE | {"applies_to": "Junoirs"}], [(2, "applies_to")]),
        ([TARGET_LINE | {"value": "slow"}], [(2, "value")]),
        ([TARGET_LINE, TARGET_LINE | {"target": "u", "value": "near"}], [(3, "target")]),
    ],
)
def test_a_target_keeps_to_its_words_and_a_player_to_one_target(rows: list[dict[str, str]], expected: Any) -> None:
    assert refusals_of("targets", *rows) == expected


def test_a_target_with_more_combinations_than_anybody_can_train_is_refused() -> None:
    dimensions = (DEPTH, SIDE, SPIN, LENGTH, PLACEMENT, HEIGHT)
    rows = [TARGET_LINE | {"dimension": words.name, "value": word} for words in dimensions for word in words.names]
    screened = screen(reading_of("targets", rows), KNOWN)

    assert screened.accepted.is_empty()
    assert "2835 combinations" in screened.refusals[0].seen


SETUP_LINE = {"setup": "NEW", "x_cm": "-20", "y_cm": "0"}
LANDING = {
    "feeder": "R1",
    "noted_on": "2026-11-09",
    "ball": "1",
    "setup": "BC",
    "release_height_cm": "25",
    "elevation_deg": "8",
    "speed_setting": "4",
    "landing_x_cm": "240",
    "landing_y_cm": "-5",
}


def test_a_setup_may_name_a_feeder_that_is_loaded_and_need_not_name_any() -> None:
    named = SETUP_LINE | {"feeder": "R1"}

    assert refusals_of("setups", named, SETUP_LINE | {"setup": "OLD"}) == []
    refusal = only_refusal("setups", SETUP_LINE | {"feeder": "R3"})
    assert (refusal.column, refusal.expected) == ("feeder", "the code of a feeder that is loaded")


@pytest.mark.parametrize(
    ("change", "column", "to_do"),
    [
        ({"feeder": "r1"}, "feeder", "use R1 if that is meant; otherwise load the feeders first"),
        ({"feeder": "Omega"}, "feeder", "load the feeders first"),
        ({"setup": "BX"}, "setup", "use BC if that is meant; otherwise load the setups first"),
        (
            {"setup": "MR", "noted_on": "2026-02-28"},
            "setup",
            "correct the day, or load the setup with an earlier valid_from",
        ),
        ({"noted_on": "2026-11-26"}, "noted_on", "correct the day"),
        ({"speed_setting": "10.5"}, "speed_setting", "correct the setting"),
        ({"spin_setting": "-6"}, "spin_setting", "correct the setting"),
        (
            {"feeder": "R2", "spin_setting": "2"},
            "spin_setting",
            "leave it empty, or load the feeder with the marks of that dial",
        ),
        ({"landing_x_cm": "130"}, "landing_x_cm", "correct the cell"),
        ({"elevation_deg": None}, "elevation_deg", "fill the cell in"),
    ],
)
def test_a_noted_landing_is_refused_with_the_column_and_what_to_do(
    change: dict[str, str], column: str, to_do: str
) -> None:
    refusal = only_refusal("landings", LANDING | change)

    assert (column, to_do) == (refusal.column, refusal.to_do)


def test_a_landing_on_the_last_mark_of_both_dials_is_accepted() -> None:
    assert refusals_of("landings", LANDING | {"speed_setting": "10", "spin_setting": "-5"}) == []


def test_two_balls_of_one_number_contradict_each_other() -> None:
    assert refusals_of("landings", LANDING, LANDING | {"landing_x_cm": "241"}) == [(2, None), (3, None)]


def test_a_dial_goes_from_its_lowest_to_its_highest_mark() -> None:
    dials = {"feeder": "R1", "speed_dial_lowest": "10", "speed_dial_highest": "10"}

    assert refusals_of("feeders", dials) == [(2, "speed_dial_highest")]


def typed_texts(column: Column) -> st.SearchStrategy[str | None]:
    """Cells as people type them: right ones, nearly right ones, and anything at all."""
    shape = column.shape
    right = st.just(column.example)
    if isinstance(shape, OneOf):
        right = st.sampled_from([*shape.words.names, *(w.upper().replace("_", "-") for w in shape.words.names)])
    elif isinstance(shape, WholeNumber):
        right = st.integers(shape.minimum - 2, shape.maximum + 2).map(str)
    elif isinstance(shape, Number):
        right = st.floats(shape.minimum - 1, shape.maximum + 1).map(lambda x: f"{x:.6f}")
    elif isinstance(shape, Day):
        right = st.dates(date(1899, 12, 1), date(2200, 2, 1)).map(str)
    elif isinstance(shape, YesOrNo):
        right = st.sampled_from(["yes", "NO", "Y", "true", "0", "1", "maybe"])
    odd = st.sampled_from(
        [
            "-1",
            "+3",
            "3.0",
            "3.",
            ".5",
            "1_0",
            "1e3",
            "٣",
            "0x1F",
            "nan",
            "inf",
            "2026-02-30",
            "20260302",
            "x" * 600,
            "ß",
            "İ",
        ]
    )
    anything = st.text(max_size=12).map(lambda text: text.strip(" \t\r\n\u00a0\u2007\u202f\ufeff\u200b"))
    return st.one_of(st.none(), right, right, right, odd, anything).map(lambda text: text or None)


def is_valid_record(kind: str, row: dict[str, str | None]) -> bool:
    try:
        RECORDS[kind].model_validate({name: cell for name, cell in row.items() if cell is not None})
    except ValidationError:
        return False
    return True


@pytest.mark.parametrize("kind", list(RECORDS))
@settings(max_examples=examples(10, 100))
@given(data=st.data())
def test_bulk_screening_and_the_single_record_give_the_same_verdict(kind: str, data: st.DataObject) -> None:
    columns = columns_of(RECORDS[kind])
    row = st.fixed_dictionaries({column.name: typed_texts(column) for column in columns})
    rows = data.draw(st.lists(row, min_size=4, max_size=12))
    known = Known(
        date(2200, 1, 1),
        frozenset(r["player"] for r in rows if r.get("player")),
        frozenset(),
        {r["setup"]: date(1900, 1, 1) for r in rows if r.get("setup")},
        {},
        {r["feeder"]: Dials(-1000, 1000, -1000, 1000) for r in rows if r.get("feeder")},
    )

    screened = screen(reading_of(kind, rows), known)

    by_record = {line for line, r in enumerate(rows, start=2) if not is_valid_record(kind, r)}
    between_lines = {None, "applies_to", "target"}
    by_bulk = {r.line for r in screened.refusals if r.column not in between_lines or not is_about_other_lines(r)}
    assert by_record == by_bulk
    assert screened.accepted.height + screened.lines_refused == screened.lines_read == len(rows)


def is_about_other_lines(refusal: Refusal) -> bool:
    """Faults that a single record cannot have: a line repeated, a receiver not loaded, a second target."""
    told = ("one line of a file", "a player's code, a group", "the target '", "a grid of at most")
    return refusal.seen != "" and refusal.expected.startswith(told)


def test_accepted_values_are_the_values_of_the_record() -> None:
    row = GOOD_LINE | {"balls": "+40.0", "minutes": "5.25", "effort": ".5", "sidespin": "LEFT"}
    accepted = screen(reading_of("sessions", [row]), KNOWN).accepted.row(0, named=True)
    record = RECORDS["sessions"].model_validate(row)

    for column in ("session_date", "balls", "minutes", "effort", "sidespin", "good"):
        assert accepted[column] == getattr(record, column)


def test_a_line_of_tomorrow_is_refused_and_one_of_today_is_not() -> None:
    tomorrow = str(TODAY + timedelta(days=1))

    assert refusals_of("sessions", GOOD_LINE | {"session_date": str(TODAY)}) == []
    assert refusals_of("sessions", GOOD_LINE | {"session_date": tomorrow}) == [(2, "session_date")]
