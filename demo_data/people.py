"""The invented people of the club, and the halls in which they train."""

from dataclasses import dataclass
from datetime import date

from models.records import Player


@dataclass(frozen=True)
class Hall:
    """A place where some groups train, and the coach who writes its log."""

    name: str
    coach: str
    groups: tuple[str, ...]


HALLS = (
    Hall("main-hall", "Agnes Børum", ("Competition", "Club")),
    Hall("annex", "Viktor Šalk", ("Juniors",)),
    Hall("school-gym", "Hélène Stroud", ("Minis",)),
)

AWAITING_CONSENT_SINCE = date(2026, 9, 1)
"""Who joined from this day on has not signed the club's form yet."""

_LEVELS = {"Minis": "beginner", "Juniors": "intermediate", "Club": "intermediate", "Competition": "advanced"}


def _player(name: str, group: str, hand: str, birth_year: int | None, joined_on: date) -> Player:
    first, last = _plain(name).split()
    return Player(
        player=(first[:2] + last[:2]).upper(),
        name=name,
        handedness=hand,
        group=group,
        birth_year=birth_year,
        level=_LEVELS[group],
        joined_on=joined_on,
        active=True,
        consent_on=joined_on if joined_on < AWAITING_CONSENT_SINCE else None,
    )


def _plain(name: str) -> str:
    return name.translate(str.maketrans("ŠšøØŁłîëŻ", "SsoOLlieZ"))


PLAYERS = (
    _player("Marek Tolvund", "Competition", "right", 2001, date(2018, 9, 3)),
    _player("Runa Oldeby", "Competition", "right", 1998, date(2016, 9, 5)),
    _player("Søren Vaskil", "Competition", "right", 2003, date(2019, 2, 11)),
    _player("Ilse Karrow", "Competition", "right", 1995, date(2014, 9, 1)),
    _player("Dario Penhast", "Competition", "left", 2004, date(2020, 9, 7)),
    _player("Nadja Šimral", "Competition", "right", 2005, date(2021, 1, 18)),
    _player("Walt Embrick", "Club", "right", 1964, date(2009, 1, 12)),
    _player("Øyvin Garsk", "Club", "right", 1979, date(2022, 9, 5)),
    _player("Petra Lohmarr", "Club", "right", None, date(2023, 1, 9)),
    _player("Łucja Wendrel", "Club", "left", 1988, date(2021, 9, 6)),
    _player("Hugh Tarrowby", "Club", "right", 1971, date(2012, 9, 3)),
    _player("Benoît Casterlane", "Club", "right", None, date(2024, 9, 2)),
    _player("Sunniva Rook", "Club", "left", 1992, date(2019, 9, 2)),
    _player("Tilde Ansgrim", "Juniors", "right", 2011, date(2025, 9, 1)),
    _player("Kaj Murrick", "Juniors", "right", 2010, date(2023, 9, 4)),
    _player("Zoë Haldvik", "Juniors", "right", 2012, date(2026, 11, 18)),
    _player("Emre Dolgun", "Juniors", "right", 2011, date(2024, 1, 15)),
    _player("Aiko Brandsel", "Juniors", "left", 2012, date(2024, 9, 2)),
    _player("Josip Kvarn", "Juniors", "right", 2010, date(2022, 9, 5)),
    _player("Lotte Piversen", "Minis", "right", 2016, date(2025, 9, 1)),
    _player("Finn Osterwale", "Minis", "right", 2017, date(2025, 9, 1)),
    _player("Mila Żarnow", "Minis", "right", 2016, date(2025, 1, 13)),
    _player("Theo Quillan", "Minis", "left", 2017, date(2026, 1, 12)),
    _player("Ines Corvall", "Minis", "right", 2016, date(2025, 9, 1)),
)


def hall_of(player: Player) -> Hall:
    """The hall in which a player's group trains."""
    return next(hall for hall in HALLS if player.group in hall.groups)
