"""Who was to be in the hall on the days of a week: noted as here, or in a plan of the hall that is still kept."""

from datetime import date

from sql.club.file import ClubConnection


def here_between(connection: ClubConnection, first: date, last: date) -> dict[date, frozenset[str]]:
    """The players of each day, both ends counted; days of which nobody is known are left out."""
    rows = connection.execute(
        "select day, player from attendance where day between :first and :last"
        " union select h.meant_for, t.player from hall_turns as t join hall_plans as h on t.hall_plan = h.hall_plan"
        " where h.meant_for between :first and :last",
        {"first": first.isoformat(), "last": last.isoformat()},
    ).fetchall()
    days = sorted({row["day"] for row in rows})
    return {date.fromisoformat(day): frozenset(row["player"] for row in rows if row["day"] == day) for day in days}
