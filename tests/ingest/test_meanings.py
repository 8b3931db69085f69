"""What a source means by columns and words: said once, remembered for its files, and for no others."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ingest.loading import Incoming, check, load
from ingest.meanings import Meanings, letters_of, nothing_remembered, source_of
from ingest.problems import Unreadable
from ingest.reading import read_log
from ingest.remembered import remembered_in
from ingest.screening import Screened, screen
from sql.club import file_meanings
from sql.club.file import club_file
from sql.club.file_meanings import Said
from sql.folder import DataFolder
from sql.log_book import Known
from tests.ingest.conftest import TODAY, csv_file
from tests.proofs import examples

HEADER = "Datum,player,setup,spin,length,placement,Tempo,balls,good"
WEEK = f"{HEADER}\n2026-05-04,P1,BC,backspin,short,RH,40,40,30\n2026-05-04,P2,BC,topspin,long,forehand,,20,11\n"
KNOWN = Known(TODAY, frozenset({"P1", "P2"}), frozenset(), {"BC": date(1900, 1, 1)}, {})
SAID = Meanings({"datum": "session_date", "tempo": "tempo_bpm"}, {("placement", "RH"): "forehand"})
COLUMNS = HEADER.split(",")


def of(name: str, header: str = HEADER) -> str:
    return source_of(name, header.split(","))


def screened(name: str, text: str, meanings: dict[str, Meanings]) -> Screened | str:
    try:
        reading = read_log(name, text.encode(), remembered=lambda source: meanings.get(source, Meanings()))
    except Unreadable as error:
        return str(error)
    return screen(reading, KNOWN)


def verdict(found: Screened | str) -> object:
    return found if isinstance(found, str) else (found.accepted.rows(), found.refusals, found.reading.taken)


@pytest.mark.parametrize(
    ("name", "letters"),
    [
        ("Juniors KW12 (2).xlsx", "juniors kw"),
        ("juniors_kw13.csv", "juniors kw"),
        ("juniors kw13-refused.csv", "juniors kw"),
        ("juniors kw13 corrected 2026-05-09 18.00.01.csv", "juniors kw"),
        ("2026-05.csv", ""),
    ],
)
def test_files_of_one_hand_differ_in_numbers_only(name: str, letters: str) -> None:
    assert letters_of(name) == letters


def test_columns_and_words_are_read_as_was_said_and_the_report_tells_it(folder: DataFolder) -> None:
    with club_file(folder) as connection:
        said = [Said(of("week 1.csv"), None, typed, meant) for typed, meant in SAID.columns.items()]
        file_meanings.remember(connection, [*said, Said(of("week 1.csv"), "placement", "RH", "forehand")], None)

    (report,) = load(folder, [csv_file("week 19.csv", WEEK)], "tester", today=TODAY)

    assert (report.lines_accepted, report.lines_refused) == (2, 0)
    told = " ".join(report.taken.sentences if report.taken else ())
    assert "The column “Datum” is session_date, as was said of such files." in told
    assert "placement: “RH” is forehand (in 1), as was said of such files." in told
    (other,) = check(folder, [csv_file("month 19.csv", WEEK)], today=TODAY)
    assert other.taken is None


def test_a_meaning_that_was_forgotten_is_one_no_longer(folder: DataFolder) -> None:
    one = Said(of("week.csv"), None, "tempo", "tempo_bpm")
    with club_file(folder) as connection:
        file_meanings.remember(connection, [one, replace(one, meant="minutes")], None)
        assert remembered_in(folder)(one.source).columns == {"tempo": "minutes"}
        file_meanings.forget(connection, one)

    assert remembered_in(folder)(one.source) == nothing_remembered(one.source)


def test_what_somebody_says_now_goes_before_what_is_remembered(folder: DataFolder) -> None:
    said_now = Incoming("week.csv", WEEK.encode(), meant=SAID)

    (report,) = check(folder, [said_now], today=TODAY)

    assert (report.lines_accepted, report.lines_refused) == (2, 0)


@pytest.mark.parametrize("typed", ["backhand", "Wide Forehand"])
def test_a_word_that_the_log_knows_is_never_taken_for_another(typed: str) -> None:
    meanings = {of("week.csv"): Meanings(SAID.columns, {("placement", typed): "forehand"})}

    found = screened("week.csv", WEEK.replace("RH", typed), meanings)

    assert isinstance(found, Screened)
    assert found.accepted["placement"].to_list()[0] == typed.lower().replace(" ", "_")


some_values = st.dictionaries(
    st.tuples(
        st.sampled_from(["player", "setup", "spin", "length", "placement"]),
        st.sampled_from(["RH", "P1", "P7", "BC", "XX", "topspin", "short"]),
    ),
    st.sampled_from(["forehand", "P2", "BC", "topspin", "long", "nonsense"]),
)
some_meanings = st.builds(
    Meanings,
    st.dictionaries(st.sampled_from(["datum", "tempo", "player", "balls"]), st.sampled_from(["session_date", "good"])),
    some_values,
)
some_cells = st.tuples(
    st.sampled_from(["P1", "P7"]),
    st.sampled_from(["BC", "XX"]),
    st.sampled_from(["topspin", "RH"]),
    st.sampled_from(["short", "long"]),
    st.sampled_from(["", "RH", "forehand"]),
)


def a_log(lines: list[tuple[str, ...]], first: str) -> str:
    rows = [f"2026-05-04,{','.join(cells)},,40,30" for cells in lines]
    return "\n".join([HEADER.replace("Datum", first), *rows]) + "\n"


@given(some_meanings, st.lists(some_cells, min_size=1, max_size=5), st.sampled_from(["Datum", "session_date"]))
@settings(max_examples=examples(15, 500))
def test_what_is_said_of_one_source_changes_no_verdict_on_the_files_of_another(
    said: Meanings, lines: list[tuple[str, ...]], first: str
) -> None:
    """The same file under another name, and the same name with another column, are other sources."""
    text = a_log(lines, first)
    other_header = text.splitlines()[0]

    for source in (of("month.csv", other_header), of("week.csv", f"{other_header},note")):
        assert verdict(screened("week.csv", text, {source: said})) == verdict(screened("week.csv", text, {}))


@given(some_values, st.lists(some_cells, min_size=1, max_size=5))
@settings(max_examples=examples(15, 500))
def test_what_is_said_of_words_changes_no_line_that_was_in_order(
    values: dict[tuple[str, str], str], lines: list[tuple[str, ...]]
) -> None:
    """Lines are numbered apart by block, so that none is refused for saying what another says."""
    text = "block," + a_log(lines, "session_date")
    rows = text.splitlines()
    text = "\n".join([rows[0], *(f"{block},{row}" for block, row in enumerate(rows[1:], start=1))])

    before, after = (
        screened("week.csv", text, {}),
        screened("week.csv", text, {of("week.csv", rows[0]): Meanings({}, values)}),
    )

    assert isinstance(before, Screened)
    assert isinstance(after, Screened)
    assert set(before.accepted.rows()) <= set(after.accepted.rows())
