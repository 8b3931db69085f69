"""The club's week as a picture: groups and their players in rows, the days in columns; in, missing, to correct."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from itertools import groupby
from urllib.parse import quote

from dashboard import questions
from dashboard.drawings.cells import state_sign
from dashboard.drawings.icons import icon, reason
from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.signs import shown
from dashboard.questions import Desk
from dashboard.rows.club import GroupDayRow, PlayerDayRow, WithoutLogRow
from dashboard.tables import marks
from dashboard.tables.refused_lines import RefusedPlace, refused_places
from dashboard.words.club import IN_THE_PICTURE, NOBODY_ON_THE_LIST, group_in_words, log_of_day, to_correct
from dashboard.words.reminders import DayHere

Refused = Mapping[tuple[str, date], Sequence[RefusedPlace]]
"""The refused lines of the week by player, as the lines name them, and day."""

SIGN_PX = 16


def picture_of(desk: Desk, week: date) -> Markup:
    """The picture of a week with its legend; nothing where there are no players."""
    players = questions.player_days(desk, week)
    if not players:
        return Markup()
    refused = refused_places(questions.refused_in_week(desk, week))
    return joined(picture_legend(), week_picture(players, questions.group_days(desk, week), refused))


def week_picture(players: Sequence[PlayerDayRow], groups: Sequence[GroupDayRow], refused: Refused) -> Markup:
    """A table for each group; last the lines of whoever is not on the list of players."""
    days = sorted({row.day for row in players} | {row.day for row in groups})
    heads = {name: list(rows) for name, rows in groupby(groups, key=lambda row: row.group_name)}
    tables = [
        _group(name, days, heads.get(name, []), list(rows), refused)
        for name, rows in groupby(players, key=lambda row: row.group_name)
    ]
    known = {row.player_id for row in players}
    unknown = {(who, on): lines for (who, on), lines in refused.items() if who not in known and on in days}
    return element("div", *tables, *([_nobodys(days, unknown)] if unknown else []), class_="hl-weeks")


def picture_legend() -> Markup:
    """What the signs of the picture mean, in one line."""
    signs = (_in(), element("span", "·"), _to_correct(), _missing())
    entries = (element("span", sign, words, role="listitem") for sign, words in zip(signs, IN_THE_PICTURE, strict=True))
    return element("div", *entries, class_="hl-legend hl-apart", role="list")


def missing_table(missing: Sequence[WithoutLogRow]) -> Markup:
    """Who has no log in the week, and since when; each name leads to the player."""
    rows = (
        element(
            "tr",
            element(
                "th", element("a", one.name, href=_page(one.player_id), target="_self"), scope="row", class_="left"
            ),
            element("td", one.group_name or "no group"),
            element("td", f"{one.last_logged_on.day} {one.last_logged_on:%B %Y}" if one.last_logged_on else "none"),
        )
        for one in missing
    )
    head = marks.column_titles(("Player", "Group", "Last log before"))
    return marks.table(head, element("tbody", *rows), label="No log this week")


def attendance_table(days: Sequence[DayHere]) -> Markup:
    """Who was noted as here, day by day, and whose log of that day is not in."""
    rows = (
        element(
            "tr",
            element("th", f"{one.day:%A} {one.day.day} {one.day:%B}", scope="row", class_="left"),
            element("td", f"{one.here}"),
            element("td", f"{one.in_log}"),
            element("td", ", ".join(one.without) or "nobody", class_="left"),
        )
        for one in days
    )
    head = marks.column_titles(("Day", "Here", "With a log of the day", "Here, and no log"))
    return marks.table(head, element("tbody", *rows), label="Who was here, and whose log is in")


def _page(player_id: str) -> str:
    return f"one_player?player={quote(player_id, safe='')}"


def _group(
    name: str, days: Sequence[date], heads: Sequence[GroupDayRow], rows: Sequence[PlayerDayRow], refused: Refused
) -> Markup:
    counts = {head.day: (head.players_with_log, head.players_active) for head in heads}
    title = element("th", group_in_words(name), _whole_week(heads), scope="col")
    above = element("tr", title, *(_day(day, counts.get(day)) for day in days), element("th", "balls", scope="col"))
    body = (_player(list(player), refused) for _, player in groupby(rows, key=lambda row: row.player_id))
    return _table(group_in_words(name), above, body)


def _whole_week(heads: Sequence[GroupDayRow]) -> Markup:
    if not heads:
        return Markup("")
    return element("small", f"{heads[0].players_with_log_in_week} of {heads[0].players_active} in")


def _day(day: date, counts: tuple[int, int] | None) -> Markup:
    """A day as wide as there is room, and how many of the group have a log of it."""
    name = [element("span", f"{day:%a} ", class_="hl-long"), element("span", f"{day:%a}"[0], class_="hl-short")]
    abbreviated = element("abbr", *name, f"{day.day}", title=f"{day:%A} {day.day} {day:%B}")
    if counts is None:
        return element("th", abbreviated, scope="col")
    told = element("small", f"{counts[0]}", title=f"{counts[0]} of {counts[1]} have a log of {day:%A}")
    return element("th", abbreviated, told, scope="col")


def _player(days: Sequence[PlayerDayRow], refused: Refused) -> Markup:
    me = days[0]
    page = _page(me.player_id)
    name = element("th", element("a", me.name, href=page, target="_self"), scope="row")
    cells = (_cell(row, refused.get((row.player_id, row.day), ()), f"{page}&open=load") for row in days)
    balls = Markup(f"{me.week_balls:,}") if me.week_balls else _missing()
    return element("tr", name, *cells, element("td", balls, class_="number"))


def _cell(row: PlayerDayRow, lines: Sequence[RefusedPlace], page: str) -> Markup:
    """A day of a player. The link to what was logged is for the mouse: for keys the name before leads there too."""
    if not row.sessions and not lines:
        return element("td", element("span", "no log", class_="hl-unseen"), class_="none")
    words = log_of_day(row)
    logged = [element("a", _in(words), href=page, target="_self", tabindex=-1, title=words)] if row.sessions else []
    return element("td", *logged, *([_lines(lines)] if lines else []))


def _lines(lines: Sequence[RefusedPlace]) -> Markup:
    words = to_correct([(place.file_name, place.line) for place in lines])
    return element("a", _to_correct(words), href=f"#{lines[0].anchor}", title=words)


def _nobodys(days: Sequence[date], refused: Refused) -> Markup:
    """Refused lines whose player is not in the picture, each name as it was typed."""
    title = element("th", NOBODY_ON_THE_LIST, scope="col")
    above = element("tr", title, *(_day(day, None) for day in days), element("td"))
    names = sorted({who for who, _ in refused})
    return _table(NOBODY_ON_THE_LIST, above, (_nobody(who, days, refused) for who in names))


def _nobody(who: str, days: Sequence[date], refused: Refused) -> Markup:
    found = [refused.get((who, day), ()) for day in days]
    cells = (element("td", _lines(lines)) if lines else element("td", class_="none") for lines in found)
    return element("tr", element("th", who or "(no name)", scope="row"), *cells, element("td"))


def _table(label: str, above: Markup, rows: Iterable[Markup]) -> Markup:
    return element("table", element("thead", above), element("tbody", *rows), class_="hl-week", aria_label=label)


def _in(words: str | None = None) -> Markup:
    return element("span", state_sign("covered", size=SIGN_PX), *_unseen(words), class_="hl-in")


def _to_correct(words: str | None = None) -> Markup:
    return element("span", shown(icon("cross"), SIGN_PX), *_unseen(words), class_="hl-wrong")


def _missing() -> Markup:
    return element("span", shown(reason("no_log"), SIGN_PX), *_unseen("no log this week"), class_="hl-missing")


def _unseen(words: str | None) -> tuple[Markup, ...]:
    return (element("span", words, class_="hl-unseen"),) if words else ()
