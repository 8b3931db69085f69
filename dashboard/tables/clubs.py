"""The clubs of a federation as tables."""

from collections.abc import Sequence
from datetime import date
from itertools import groupby

from dashboard.drawings.markup import Markup, element
from dashboard.rows.federation import FederatedClubRow, ValueOfClubRow, WeekOfClubRow
from dashboard.tables import marks
from dashboard.words.clubs import TOO_FEW_JUDGED, TOO_SMALL, names
from dashboard.words.phrases import DIMENSION_LABELS, day, in_100, label, range_in_100, short_day

_COVERED = ("Covered", "0 to 100")


def clubs_table(rows: Sequence[FederatedClubRow], on: date) -> Markup:
    """Each club with its age groups: who sends logs, and the mean coverage with its range."""
    called = names(rows)
    titles = ("Club", "Age group", "With a log", *_COVERED)
    bodies = [
        element("tbody", *_club(called[club], list(groups), on))
        for club, groups in groupby(rows, key=lambda row: row.club_id)
    ]
    return marks.table(marks.column_titles(titles), *bodies, label="Clubs")


def _club(name: str, groups: list[FederatedClubRow], on: date) -> list[Markup]:
    first = groups[0]
    days = {"last log": first.last_logged_on, "sent": first.exported_on}
    told = (element("small", f"{what} {short_day(on_day, on)}") for what, on_day in days.items())
    head = element("th", name, *told, scope="rowgroup", rowspan=len(groups), class_="left")
    return [
        element("tr", *([] if at else [head]), *_group(row), class_=None if at else "begins")
        for at, row in enumerate(groups)
    ]


def _group(row: FederatedClubRow) -> list[Markup]:
    if row.age_group is None:
        return [element("td", TOO_SMALL, colspan=4, class_="why")]
    counts = element("td", f"{row.players_with_log} of {row.players}", class_="number")
    return [element("td", row.age_group), counts, *_covered(row)]


def _covered(row: FederatedClubRow | WeekOfClubRow) -> list[Markup]:
    """The mean and its range, as figures and as a line from 0 to 100."""
    if row.coverage is None or row.coverage_low is None or row.coverage_high is None:
        return [element("td", TOO_FEW_JUDGED, colspan=2, class_="why")]
    ends = f"--low:{row.coverage_low:.1%};--high:{row.coverage_high:.1%}"
    told = range_in_100(row.coverage_low, row.coverage_high)
    about = f"mean of {row.players_judged} players"
    return [
        element("td", in_100(row.coverage), element("small", told), class_="number", title=about),
        element("td", class_="span", style=ends),
    ]


def weeks_table(rows: Sequence[WeekOfClubRow], on: date) -> Markup:
    """A club over the weeks."""
    lines = [
        element(
            "tr",
            element("th", day(row.week, on), scope="row", class_="left"),
            element("td", f"{row.players_with_log}", class_="number"),
            *_covered(row),
        )
        for row in rows
    ]
    head = marks.column_titles(("Week from", "With a log", *_COVERED))
    return marks.table(head, element("tbody", *lines), label="Week by week")


def values_table(rows: Sequence[ValueOfClubRow]) -> Markup:
    """In what a club's balls differ: the words of each dimension, with who met them and their share."""
    bodies = [
        element("tbody", *_dimension(dimension, list(values)))
        for dimension, values in groupby(rows, key=lambda row: row.dimension)
    ]
    head = marks.column_titles(("In", "Balls", "Players", "Share", "0 to 100"))
    return marks.table(head, *bodies, label="Which balls the club meets")


def _dimension(dimension: str, values: list[ValueOfClubRow]) -> list[Markup]:
    title = element("th", DIMENSION_LABELS[dimension], scope="rowgroup", rowspan=len(values), class_="left")
    return [
        element(
            "tr",
            *([] if at else [title]),
            element("td", label(row.value)),
            element("td", f"{row.players}", class_="number"),
            element("td", in_100(row.share), class_="number"),
            element("td", class_="span", style=f"--low:0%;--high:{row.share:.1%}"),
            class_=None if at else "begins",
        )
        for at, row in enumerate(values)
    ]
