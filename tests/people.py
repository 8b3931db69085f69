"""One person of every kind, for the small invented club."""

from models.permits import Role
from sql.club import accounts
from sql.club.file import club_file
from sql.folder import DataFolder

PEOPLE = (
    ("Nora Quill", Role.COORDINATOR, (), ()),
    ("M. Roe", Role.COACH, (), ("Juniors",)),
    ("Ada Lind", Role.PLAYER, ("ADA",), ()),
    ("Otto Orr", Role.GUARDIAN, ("BEN",), ()),
)
"""Ada and Ben are Juniors, Cléo is a Senior, Dan one who no longer plays."""


def add_people(folder: DataFolder) -> None:
    """Give each an account."""
    with club_file(folder) as connection:
        for name, role, players, groups in PEOPLE:
            accounts.add(connection, name, role, players=players, groups=groups)
