"""What a body asks of its clubs: never of a person, and only at the desk of a folder that serves a federation."""

from dashboard.questions.asking import Desk
from dashboard.rows.building import rows
from dashboard.rows.federation import FederatedClubRow, ValueOfClubRow, WeekOfClubRow
from models.permits import NotPermitted
from models.refusal import Refused
from sql.club.audit_trail import Event, record_in
from sql.federation.clubs import clubs_table, published
from sql.federation.one_club import club_values, club_weeks
from sql.federation.publication import Federation
from sql.federation.served import ServedFederation, served_federation


class NoFederation(Refused):
    """The folder is a club's own."""


def federation(desk: Desk) -> ServedFederation:
    """The federation of this desk. Raises NotPermitted, NoFederation."""
    if not desk.reader.sees_clubs:
        record_in(desk.folder, Event.REFUSAL, "the clubs of a federation", reader=desk.reader)
        raise NotPermitted("The clubs of a federation are not open to you. If they should be, ask your coordinator.")
    served = served_federation(desk.folder)
    if served is None:
        raise NoFederation("No federation is served here.", to_do="Name its tables in club.toml, section [federation].")
    return served


def federations_build(desk: Desk) -> Federation:
    """The build in force. Raises what `federation` raises, NothingBuilt."""
    return published(federation(desk).tables)[1]


def clubs(desk: Desk) -> tuple[FederatedClubRow, ...]:
    """Every club by its name, with its age groups. Raises what `federations_build` raises."""
    served = federation(desk)
    table = clubs_table(served.tables, served.least_players)
    return rows(table.sort("club_name", "club_id", maintain_order=True), FederatedClubRow)


def weeks_of_club(desk: Desk, club_id: str) -> tuple[WeekOfClubRow, ...]:
    """A club over the weeks, the latest first. Raises what `federations_build` raises."""
    served = federation(desk)
    return rows(club_weeks(served.tables, club_id, served.least_players), WeekOfClubRow)


def values_of_club(desk: Desk, club_id: str) -> tuple[ValueOfClubRow, ...]:
    """In what a club's balls differ, over its last window. Raises what `federations_build` raises."""
    served = federation(desk)
    return rows(club_values(served.tables, club_id, served.least_players), ValueOfClubRow)
