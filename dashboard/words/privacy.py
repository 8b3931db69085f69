"""What is stored and why, and what forgetting does, in plain words for everybody."""

from collections.abc import Iterator

from models.settings import Settings
from sql.forgetting import Forgotten
from sql.mentions import Mention

LONGEST_SHOWN = 160

WHO_IS_MEANT = (
    "The whole name and the code are taken out wherever they stand. In these texts a part of the name stands alone, "
    "and may mean somebody else; where it means this player, it is taken out too, and a note goes whole."
)

WHAT = (
    "**Of a player:** the club's code, the name as the club writes it, the playing hand, the group, the day of "
    "consent; and, only if the club notes them, year of birth, level and first day in the club. No date of birth, no "
    "address, no picture, nothing about health.",
    "**Of training:** the day, who led it, which balls were fed from where, what became of them, minutes, how hard "
    "it was said to be, and notes. Lines that were refused are kept as typed, so that they can be mended. What is "
    "counted at the table waits on the phone until it is saved here. And plans of the next session, if any.",
    "**Of an account:** the name to sign in with, the role, for whom, and a fingerprint of the password (argon2id), "
    "from which nobody can read it; or, where another service vouches for people, that service's number for them. In "
    "which browsers it is signed in, as Firefox on Windows, since when, and when each was last seen; of a passkey its "
    "name and its public half.",
    "**Of what is done here:** who signed in or was refused, loaded, withdrew, exported or erased, when, and from "
    "which network address.",
)

WHY = (
    "To see which balls a player has met and lacks, whether it works, and what to feed next. The account and the list "
    "of what was done are there so that nobody sees a page that is not theirs. It is used for "
    "nothing else, and goes to nobody but those named below."
)

WHO = (
    "**Player:** their own page.",
    "**Guardian:** the pages of their wards.",
    "**Coach:** the pages of the players in their groups.",
    "**Coordinator:** everything in the log, the accounts, and the list of what was done.",
    "**Whoever looks after the club's computer** can open the folder itself, and its backups.",
)

WHERE = (
    "In one folder on one computer of the club, and in the backups that the club makes of it. No other server, no "
    "cloud, no advertising, no measuring of visitors. Two cookies: one keeps you signed in, and by the other your "
    "browser is known again, so that nobody who tries passwords under your name keeps you out. A third lives for the "
    "minutes in which a passkey is used."
)

RIGHTS = (
    "A player or a guardian can have a copy of everything that is stored of the player: a button below gives it as "
    "files that any spreadsheet opens. To have something corrected, to take consent back or to be forgotten, ask your "
    "coordinator; the counted balls then stay without a person, or go too. What the local law asks beyond that, and "
    "what the club has to keep, this page cannot say: turn to the club's safeguarding officer, above all where a minor "
    "is concerned."
)

GOES = (
    "Their account goes too, and that of a guardian who looks after nobody else; in the lines and notes of others the "
    "name and the code are taken out. This cannot be taken back."
)


def how_long(settings: Settings) -> list[str]:
    """For how long things are kept, by the club's settings."""
    logs = (
        f"**Players and their logs:** who has no log for {_months(settings.retention_months)} is listed here for the "
        "coordinator, who decides. Nobody is erased by a program alone."
        if settings.retention_months
        else "**Players and their logs:** until somebody asks to be forgotten, or the club decides so. The club has "
        "set no limit."
    )
    trail = (
        f"**What was done here:** {_months(settings.trail_months)}; what is older is removed when the screens are "
        "next started."
        if settings.trail_months
        else "**What was done here:** the club has set no limit."
    )
    backups = "**Backups:** as long as the club keeps them. When somebody is forgotten, those to delete are named."
    plans = "**Plans:** until another takes their place; those of days that are over go when the player's next is kept."
    return [logs, trail, plans, backups]


def _months(count: int) -> str:
    return f"{count} month{'' if count == 1 else 's'}"


def will_happen(*, keeps_lines: bool) -> str:
    """What forgetting a player does, before it is done."""
    if keeps_lines:
        return (
            "The log lines stay under a code that says nothing, without name, group, year of birth, level, first day "
            f"in the club, consent and notes: days, balls and minutes stay in the club's figures. {GOES}"
        )
    return f"All log lines of the player are deleted, and the club's figures change. {GOES}"


def mention_in_words(mention: Mention) -> str:
    """Where a part of the name stands, and the text, shortened."""
    text = mention.text if len(mention.text) <= LONGEST_SHOWN else f"{mention.text[:LONGEST_SHOWN]}…"
    return f"{mention.place}: {text}"


def was_done(forgotten: Forgotten, settings: Settings) -> Iterator[str]:
    """What was done, and what is left for a person to do."""
    count = f"{forgotten.lines:,} line{'' if forgotten.lines == 1 else 's'}"
    lines = f"{count} kept as {forgotten.code}" if forgotten.code else f"{count} deleted"
    if not forgotten.accounts:
        yield f"The player is forgotten: {lines}. No file of the data folder names the person any more."
    else:
        yield f"The player is forgotten: {lines}."
        yield (
            f"Accounts with the same name in theirs stay: {', '.join(forgotten.accounts)}. If one is the same "
            "person's, remove it too."
        )
    if forgotten.backups:
        yield (
            "These backups still hold the person. Make a new backup, then delete these, and copies of them elsewhere:"
        )
        yield from (f"{made.file} ({settings.local(made.made_at):%Y-%m-%d %H:%M})" for made in forgotten.backups)
    else:
        yield "No backup is known that holds the person. Copies that were made in another way are not known here."
    yield (
        "Files that the logs were loaded from, downloads and printed sheets lie elsewhere: delete them where they lie."
    )
