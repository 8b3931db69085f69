"""What is said of the clubs of a federation."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from dashboard.rows.federation import FederatedClubRow
from dashboard.words.phrases import day, listed, verbatim
from sql.federation.publication import Federation
from sql.federation.served import ServedFederation

TOO_SMALL = "too few players to be told of"
TOO_FEW_JUDGED = "too few with a log and a target"

ORDER = (
    "Clubs stand by name, not by figure. The line is the range in which the mean of such players plausibly lies (95%): "
    "where two lines overlap, the clubs may be alike, and clubs set their own targets, so that a wider one is harder "
    "to cover. It says nothing of a child, and nothing of how well anybody plays."
)

COVERAGE = (
    "Covered: the share of the combinations that a player's target wants which the player met often enough in the days "
    "that count as recent in that club (settings of the club), as a mean over the players of the group who have a log "
    "in these days and a target."
)


def figures_hidden(served: ServedFederation) -> str:
    """Why a figure may be missing."""
    return (
        f"Of fewer than {served.least_players} players nothing is told, for it would tell of a child: small age groups "
        "of a club stand together as other ages where they are enough together, and not at all where they are not. The "
        "number is a setting (least_players)."
    )


def built(federation: Federation) -> str:
    """Which build this is, and of how many clubs."""
    number = len(federation.clubs)
    on = date.fromisoformat(federation.built_at[:10])
    return f"{number} club{'' if number == 1 else 's'}, as of the build of {day(on, on)} {on.year}."


def quiet(rows: Iterable[FederatedClubRow], served: ServedFederation, on: date) -> str | None:
    """The clubs without a log lately, as a sentence; None where there is none."""
    since = on - timedelta(days=served.quiet_days)
    late = {row.club_id: row for row in rows if row.last_logged_on is None or row.last_logged_on < since}
    if not late:
        return None
    told = listed(f"{verbatim(row.club_name)} ({_last(row, on)})" for row in late.values())
    return f"**No log for more than {served.quiet_days} days:** {told}. Perhaps the export no longer runs there: ask."


def _last(row: FederatedClubRow, on: date) -> str:
    return "none yet" if row.last_logged_on is None else f"last log {day(row.last_logged_on, on)}"


def names(rows: Sequence[FederatedClubRow]) -> dict[str, str]:
    """The clubs by their short name, which stands beside the name where two clubs have the same."""
    called = {row.club_id: row.club_name for row in rows}
    twice = [name for name in called.values() if list(called.values()).count(name) > 1]
    return {club: f"{name} ({club})" if name in twice else name for club, name in called.items()}
