"""What somebody is told of their own account."""

from collections.abc import Callable
from datetime import datetime, timedelta

from sql.club.account_news import News, What
from sql.club.passkeys import Passkey
from sql.club.web_sessions import NOTED_EVERY, OpenSession

WAS_IT_YOU = "If that was not you, choose another password on your account's page, and tell your coordinator."

_NEWS = {
    What.NEW_BROWSER: "Somebody signed in as you with a browser that was not known here",
    What.ANOTHER_PASSWORD: "Your password was changed",
    What.PASSWORD_BY_LINK: "A link was used to set your password",
}


def news_in_words(news: News, local: Callable[[datetime], datetime]) -> str:
    """What happened, with which device, and when by the club's clock."""
    return f"{_NEWS[news.what]}: {news.device}, {_instant(local(news.happened_at))}."


def session_in_words(session: OpenSession, now: datetime, local: Callable[[datetime], datetime]) -> str:
    """Since when somebody is signed in there, and when they were last seen."""
    return f"signed in {_instant(local(session.made_at))}, {_last_seen(session, now, local)}"


def key_in_words(key: Passkey, local: Callable[[datetime], datetime]) -> str:
    """Since when there is such a key, and when it was used last."""
    used = f"last used {_instant(local(key.used_at))}" if key.used_at else "not used yet"
    return f"made {_instant(local(key.made_at))}, {used}"


def _last_seen(session: OpenSession, now: datetime, local: Callable[[datetime], datetime]) -> str:
    # It is noted once in a while only: what looks like an hour ago may be now.
    if now - session.seen_at < NOTED_EVERY + timedelta(minutes=1):
        return "seen within the last hour"
    return f"last seen {_instant(local(session.seen_at))}"


def _instant(at: datetime) -> str:
    return f"{at.day} {at:%B %Y, %H:%M}"
