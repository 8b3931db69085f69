"""Who a person is to the club at this moment: a page may have been open since before an account was changed."""

from models.permits import NotPermitted, Reader, require_keeper
from sql.club import accounts
from sql.club.file import ClubConnection


def as_of_now(connection: ClubConnection, reader: Reader) -> Reader | None:
    """The reader by the account as it is now, None where it is gone; whoever holds the folder has no account."""
    if reader.account is None:
        return reader
    account = accounts.by_number(connection, reader.account)
    return account.reader if account else None


def require_keeper_now(connection: ClubConnection, reader: Reader, told: str) -> None:
    """Raises NotPermitted, with these words where it is over for whoever was a keeper when the page was opened."""
    require_keeper(reader)
    now = as_of_now(connection, reader)
    if now is None or not now.keeps_accounts:
        raise NotPermitted(told)
