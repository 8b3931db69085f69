"""What an account's person is told on their next page: somebody signed in with another browser, or set a password.

Told in every browser but the one that did it, until it is read there: who came in with a stolen password cannot read it
away where its owner looks.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

from sql.club.file import ClubConnection, at, now_utc

TOLD_FOR = timedelta(days=30)


class What(StrEnum):
    """What happened."""

    NEW_BROWSER = "new browser"
    ANOTHER_PASSWORD = "another password"  # noqa: S105 - a word, not a secret
    PASSWORD_BY_LINK = "password by link"  # noqa: S105


@dataclass(frozen=True)
class News:
    """One thing to be told."""

    news: int
    happened_at: datetime
    what: What
    device: str


def tell(connection: ClubConnection, account: int, what: What, device: str, browser_sha256: str) -> None:
    """Tell it from now on, in every browser of the account but this one."""
    connection.execute("delete from account_news where happened_at < ?", [at(datetime.now(UTC) - TOLD_FOR)])
    connection.execute(
        "insert into account_news (account, happened_at, what, device, browser_sha256) values (?, ?, ?, ?, ?)",
        [account, now_utc(), what, device, browser_sha256],
    )


def untold(connection: ClubConnection, session: int) -> list[News]:
    """What the person of a session has not read yet in this browser, the earliest first."""
    rows = connection.execute(
        "select n.news, n.happened_at, n.what, n.device from account_news as n"
        " join web_sessions as s on s.account = n.account"
        " left join known_browsers as k on k.token_sha256 = s.browser_sha256"
        " where s.session = ? and n.happened_at >= ? and n.news > coalesce(k.news_read, 0)"
        " and n.browser_sha256 is not s.browser_sha256 order by n.news",
        [session, at(datetime.now(UTC) - TOLD_FOR)],
    )
    return [
        News(row["news"], datetime.fromisoformat(row["happened_at"]), What(row["what"]), row["device"])
        for row in rows.fetchall()
    ]


def is_read(connection: ClubConnection, session: int, up_to: int) -> None:
    """The person of a session has read this in their browser, and what was before it."""
    connection.execute(
        "update known_browsers set news_read = max(news_read, ?)"
        " where token_sha256 = (select browser_sha256 from web_sessions where session = ?)",
        [up_to, session],
    )
