"""The club's week as a picture on paper: what the screen's picture says, in greys."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import accumulate, groupby

from dashboard.drawings.cells import state_sign
from dashboard.drawings.icons import icon, reason
from dashboard.drawings.signs import shown
from dashboard.drawings.skins import PAPER
from dashboard.paper.parts import Legend, Week, WeekGroup
from dashboard.rows.club import GroupDayRow, PlayerDayRow
from dashboard.tables.refused_lines import RefusedPlace
from dashboard.words.club import IN_THE_PICTURE, NOBODY_ON_THE_LIST, group_in_words

Refused = Mapping[tuple[str, date], Sequence[RefusedPlace]]

IN, NONE, WRONG, MISSING = "in", "none", "wrong", "missing"


def week_legend() -> Legend:
    """What the signs mean."""
    return Legend([sign for name, sign in _signs().items() if name != NONE])


def week_on_paper(players: Sequence[PlayerDayRow], groups: Sequence[GroupDayRow], refused: Refused) -> Week:
    """A table for each group; last the lines of whoever is not on the list of players."""
    heads = {name: list(rows) for name, rows in groupby(groups, key=lambda row: row.group_name)}
    tables = [
        _group(heads.get(name, []), list(rows), refused)
        for name, rows in groupby(players, key=lambda row: row.group_name)
    ]
    return Week(_signs(), _balanced([*tables, *_nobodys(players, refused)]))


def _balanced(groups: Sequence[WeekGroup]) -> list[Sequence[WeekGroup]]:
    """Two columns, the first at least as long as the second."""
    half = sum(len(group.rows) for group in groups) / 2
    ends = list(accumulate(len(group.rows) for group in groups))
    split = next(i for i, rows in enumerate(ends, 1) if rows >= half)
    return [column for column in (groups[:split], groups[split:]) if column]


def _signs() -> dict[str, tuple[str, str]]:
    drawn = (state_sign("covered", skin=PAPER), "", shown(icon("cross")), shown(reason("no_log")))
    return dict(zip((IN, NONE, WRONG, MISSING), zip(drawn, IN_THE_PICTURE, strict=True), strict=True))


def _group(heads: Sequence[GroupDayRow], rows: Sequence[PlayerDayRow], refused: Refused) -> WeekGroup:
    counts = {head.day: f"{head.players_with_log}" for head in heads}
    logged = f"{heads[0].players_with_log_in_week} of {heads[0].players_active} in" if heads else ""
    days = sorted({row.day for row in rows})
    players = (list(player) for _, player in groupby(rows, key=lambda row: row.player_id))
    named = [_day(day, counts.get(day)) for day in days]
    return WeekGroup(
        group_in_words(rows[0].group_name), logged, named, [_player(player, refused) for player in players]
    )


def _day(day: date, count: str | None) -> list[str]:
    return [f"{day:%a}", f"{day.day}", *([count] if count else [])]


def _player(days: Sequence[PlayerDayRow], refused: Refused) -> tuple[str, list[list[str]], str]:
    me = days[0]
    cells = [[IN] * (row.sessions > 0) + [WRONG] * ((row.player_id, row.day) in refused) for row in days]
    return me.name, cells, f"{me.week_balls:,}" if me.week_balls else "no log"


def _nobodys(players: Sequence[PlayerDayRow], refused: Refused) -> Iterator[WeekGroup]:
    known, days = {row.player_id for row in players}, sorted({row.day for row in players})
    names = sorted({who for who, on in refused if who not in known and on in days})
    if names:
        rows = [(who or "(no name)", [[WRONG] * ((who, day) in refused) for day in days], "") for who in names]
        yield WeekGroup(NOBODY_ON_THE_LIST, "", [_day(day, None) for day in days], rows)
