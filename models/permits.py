"""Who may read what. Pure: no file, no screen, no clock."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from models.refusal import Refused

EVERY_GROUP = "*"
"""In place of a group's name: a coach of the whole club."""


TRAINERS_WRITE = ("sessions", "balls", "landings", "setups", "targets")
"""The kinds of log that whoever trains writes, as far as they concern only those whom they train."""


class Role(StrEnum):
    """What somebody is to the club."""

    OWNER = "owner"
    """Whoever holds the data folder itself: the command line. Never an account."""
    COORDINATOR = "coordinator"
    COACH = "coach"
    PLAYER = "player"
    GUARDIAN = "guardian"


ACCOUNT_ROLES = (Role.COORDINATOR, Role.COACH, Role.PLAYER, Role.GUARDIAN)


class Reads(StrEnum):
    """What a question reads, and so who may ask it."""

    NOBODY = "no person: settings, weeks, definitions, places of feeders"
    CLUB = "the club in figures that name no player"
    LOG = "the log, line by line, of everybody"
    PLAYERS = "rows about players, each with its player_id: everyone gets the rows of those whom they may read"
    ONE_PLAYER = "one player, whom the question names"


@dataclass(frozen=True)
class Reader:
    """On whose behalf something is asked: a role, with the players or the groups that it stands for."""

    name: str
    role: Role
    account: int | None = None
    players: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    is_confirmed: bool = False
    """They said who they are only minutes ago: whoever sits down at an open browser has not."""

    @property
    def reads_everybody(self) -> bool:
        """Nobody's data are closed to this reader."""
        trains_all = self.role is Role.COACH and EVERY_GROUP in self.groups
        return trains_all or self.role in (Role.OWNER, Role.COORDINATOR)

    @property
    def keeps_accounts(self) -> bool:
        """May invite and remove people, and read what was done."""
        return self.role in (Role.OWNER, Role.COORDINATOR)

    @property
    def sees_clubs(self) -> bool:
        """The clubs of a federation, each in figures that name nobody."""
        return self.keeps_accounts

    @property
    def makes_plans(self) -> bool:
        """May plan the sessions of the players whom they may read."""
        return self.role in (Role.OWNER, Role.COORDINATOR, Role.COACH)

    def may_ask(self, reads: Reads) -> bool:
        """A question of this kind is open to the role at all; whom it names is another matter."""
        if reads is Reads.LOG:
            return self.keeps_accounts
        if reads is Reads.CLUB:
            return self.role in (Role.OWNER, Role.COORDINATOR, Role.COACH)
        return True

    def may_read(self, player: str, group: str | None) -> bool:
        """The data of a player, who is in this group."""
        if self.reads_everybody:
            return True
        if self.role is Role.COACH:
            return group is not None and group in self.groups
        return player in self.players

    def may_log(self, kind: str, players: Mapping[str, str | None]) -> bool:
        """Write or withdraw lines of this kind of log that concern these players, each with their group.

        Whoever trains writes what was fed to those whom they train, what they shall be fed and from where, and where a
        feeder's balls landed.
        """
        if self.keeps_accounts:
            return True
        is_theirs = self.makes_plans and kind in TRAINERS_WRITE
        return is_theirs and all(self.may_read(player, group) for player, group in players.items())

    def may_take_away(self, player: str) -> bool:
        """Everything that is stored of a player, beside the log also the account and who did what about them."""
        return self.keeps_accounts or player in self.players


class NotPermitted(Refused):
    """Somebody asked for what is not theirs to read; the text says so without telling whether it exists."""


def require_keeper(reader: Reader) -> None:
    """Raises NotPermitted for whoever does not look after the accounts."""
    if not reader.keeps_accounts:
        raise NotPermitted("Accounts and the audit trail are open to coordinators only.")


class NotConfirmed(Refused):
    """Somebody who is signed in has to say again who they are, for this cannot be taken back or opens a door."""


def require_confirmed(reader: Reader) -> None:
    """Raises NotConfirmed for whoever has not said within the last minutes who they are."""
    if not reader.is_confirmed:
        raise NotConfirmed("Say again who you are first: an open browser alone is not enough for this.")


def require_planner(reader: Reader) -> None:
    """Raises NotPermitted for whoever trains nobody, and so neither plans a session nor vouches for one."""
    if not reader.makes_plans:
        raise NotPermitted("This is for coaches and coordinators. Ask your coach.")


def owner(name: str) -> Reader:
    """Whoever holds the data folder: they can open its files anyway."""
    return Reader(name, Role.OWNER, is_confirmed=True)
