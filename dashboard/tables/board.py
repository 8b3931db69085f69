"""The coverage board as a table: players in rows, the conditions of their targets in columns."""

from collections.abc import Iterable, Sequence
from datetime import date
from urllib.parse import quote

from dashboard.drawings.markup import Markup, element
from dashboard.rows.coach import BoardRow, CoverageRow, ValueRow
from dashboard.rows.judged import MixRow
from dashboard.tables import marks
from dashboard.tables.grid import begins_tile, header_rows, named_dimensions, place, places
from dashboard.words import sentences as wording
from dashboard.words.phrases import DIMENSION_LABELS, balls, combination, day, in_100, label, range_in_100, short_day
from models.settings import Settings
from models.words import COVERAGE_DIMENSIONS

Condition = tuple[str, str]
"""A dimension and one of its values."""

_CONDITIONS = [(words.name, word) for words in COVERAGE_DIMENSIONS for word in words.names]


def by_value(players: Sequence[BoardRow], values: Iterable[ValueRow], settings: Settings, seen_from: date) -> Markup:
    """The board with one column for each wanted value; who cannot be judged has the reason there."""
    met = {(row.player_id, row.dimension, row.value): row for row in values}
    wanted = {(dimension, value) for _, dimension, value in met}
    columns = [condition for condition in _CONDITIONS if condition in wanted]
    rows = [
        element(
            "tr",
            _name(player),
            _covered(player),
            _balls(player, seen_from),
            *(
                _not_judged(why, len(columns))
                if (why := wording.standing(player, settings, seen_from))
                else [
                    _value_cell(met.get((player.player_id, *c)), c, seen_from, starts=begins_tile(columns, i))
                    for i, c in enumerate(columns)
                ]
            ),
        )
        for player in players
    ]
    return marks.table(_value_head(columns), element("tbody", *rows), label="Coverage board")


def by_combination(
    players: Sequence[BoardRow], cells: Sequence[CoverageRow], settings: Settings, seen_from: date
) -> Markup:
    """The board of players who share one grid, with one column for each wanted combination."""
    dimensions = named_dimensions(cells)
    columns = places(cells, dimensions)
    met = {(row.player_id, place(row, dimensions)): row for row in cells}
    rows = [
        element(
            "tr",
            _name(player),
            _covered(player),
            *(
                _not_judged(why, len(columns))
                if (why := wording.standing(player, settings, seen_from))
                else [
                    _tiny_cell(met[player.player_id, values], starts=begins_tile(columns, i))
                    for i, values in enumerate(columns)
                ]
            ),
        )
        for player in players
    ]
    head = header_rows(columns, dimensions, before=("Player", "Covered"), upright_levels=2)
    return marks.table(element("thead", *head), element("tbody", *rows), label="Every combination")


def by_success(players: Sequence[BoardRow], mixes: Iterable[MixRow], settings: Settings, seen_from: date) -> Markup:
    """Success of each player on the wanted mix, with its range, and for how much of the mix it speaks."""
    mix_of = {row.player_id: row for row in mixes}
    titles = ("Player", "On the wanted mix", "0 to 100", "Balls", "Of the mix")
    rows = [
        element(
            "tr",
            _name(player),
            *(
                _not_judged(why, len(titles) - 1)
                if (why := wording.standing(player, settings, seen_from))
                else _success_cells(mix_of.get(player.player_id), settings)
            ),
        )
        for player in players
    ]
    return marks.table(marks.column_titles(titles), element("tbody", *rows), label="Success on the wanted mix")


def _success_cells(mix: MixRow | None, settings: Settings) -> list[Markup]:
    if mix is None or (rate := mix.success) is None:
        return _not_judged(f"fewer than {settings.rate_balls} of the wanted balls", 4)
    ends = f"--low:{rate.low:.1%};--high:{rate.high:.1%}"
    about = f"{balls(mix.balls)}, which tell as much as {mix.effective_balls:,.0f} single ones"
    return [
        element("td", in_100(rate.value), element("small", range_in_100(rate.low, rate.high)), class_="number"),
        element("td", class_="span", style=ends),
        element("td", f"{mix.balls:,}", class_="number", title=about),
        element("td", in_100(mix.target_share_seen), class_="number"),
    ]


def _value_head(columns: Sequence[Condition]) -> Markup:
    figures = [
        element("th", "Player", element("small", "group"), rowspan=2, class_="left", scope="col"),
        element("th", "Covered", element("small", "pairs"), rowspan=2, class_="number", scope="col"),
        element("th", "Balls", element("small", "last log"), rowspan=2, class_="number", scope="col"),
    ]
    dimensions = list(dict.fromkeys(dimension for dimension, _ in columns))
    groups = [
        element("th", DIMENSION_LABELS[d], colspan=sum(c[0] == d for c in columns), scope="colgroup", class_="starts")
        for d in dimensions
    ]
    values = [
        element("th", label(value), class_="starts" if begins_tile(columns, i) else None, scope="col")
        for i, (_, value) in enumerate(columns)
    ]
    return element("thead", element("tr", *figures, *groups), element("tr", *values))


def _name(player: BoardRow) -> Markup:
    link = element("a", player.name, href=f"one_player?player={quote(player.player_id, safe='')}")
    return element("th", link, element("small", player.group_name or "no group"), scope="row", class_="left")


def _covered(player: BoardRow) -> Markup:
    if player.standing != "judged":
        return element("td", "–", class_="number")
    pairs = "" if player.pairs is None else f"{player.pairs_covered} of {player.pairs}"
    return element("td", f"{player.cells_covered} of {player.cells}", element("small", pairs), class_="number")


def _balls(player: BoardRow, seen_from: date) -> Markup:
    last = element("small", short_day(player.last_logged_on, seen_from))
    return element("td", f"{player.balls:,}", last, class_="number")


def _not_judged(why: str, columns: int) -> list[Markup]:
    return [element("td", f"Not judged: {why}", colspan=max(columns, 1), class_="why starts")]


def _value_cell(row: ValueRow | None, condition: Condition, seen_from: date, *, starts: bool) -> Markup:
    edge = " starts" if starts else ""
    if row is None:
        return element("td", "·", class_=f"unwanted{edge}", title="not wanted in this player's target")
    text, kind, title = _value_text(row, seen_from)
    about = f"{DIMENSION_LABELS[condition[0]]} {label(condition[1])}: {title}"
    return element("td", text, class_=f"{kind}{edge}", title=about, style=f"--share:{row.share_covered:.0%}")


def _value_text(row: ValueRow, seen_from: date) -> tuple[str, str, str]:
    """What a cell says, its kind, and what it says at more length."""
    if row.last_met_on is None:
        return _not_met_told(row, seen_from)
    match row.status:
        case "stale":
            return f"{marks.SIGNS['stale']} stale", "stale", f"last met on {day(row.last_met_on, seen_from)}"
    covered = f"{row.cells_covered} of {row.cells} combinations covered, {row.balls:,} balls"
    return f"{row.cells_covered}/{row.cells}", "fill", covered


def _not_met_told(row: ValueRow, seen_from: date) -> tuple[str, str, str]:
    if row.met_anyhow_on is None:
        return f"{marks.SIGNS['empty']} never", "empty", "never met"
    otherwise = f"met, but in no wanted combination, last on {day(row.met_anyhow_on, seen_from)}"
    return f"{marks.SIGNS['off_plan']} off plan", "off_plan", otherwise


def _tiny_cell(cell: CoverageRow, *, starts: bool) -> Markup:
    title = f"{combination(cell.words)}: {wording.STATUS_WORDS[cell.status]}, {cell.balls} balls"
    kinds = f"tiny {cell.status}{' starts' if starts else ''}"
    return element("td", marks.SIGNS[cell.status], class_=kinds, title=title)
