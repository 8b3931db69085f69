"""What each table of the club file holds of whom: the one declaration that whatever goes through all of them reads.

Migration, check, erasure, restore and what a player takes away go by it (`sql/club/declaration_check.py`).
"""

from sql.club.declared_training import OF_TRAINING
from sql.club.declaring import ClubTable, Erasure, Holds

OWN_ACCOUNTS = (
    "(select a.account from accounts as a join account_players as p on a.account = p.account"
    " where p.player = :player and a.role = 'player')"
)

TABLES: tuple[ClubTable, ...] = (
    ClubTable(
        "accounts",
        "who signs in as this player, or for them",
        {
            "account": Holds.ACCOUNT,
            "name": Holds.NAME,
            "name_key": Holds.NAME,
            "role": Holds.NOBODY,
            "password_hash": Holds.SECRET,
            "issuer": Holds.NOBODY,
            "subject": Holds.NAME,
            "made_at": Holds.NOBODY,
            "needs_passkey": Holds.NOBODY,
        },
        Erasure.ACCOUNTS,
        taken_away=(
            "select a.account, a.name, a.role, case a.role when 'player' then a.issuer end as issuer,"
            " case a.role when 'player' then a.subject end as subject, a.made_at"
            " from accounts as a join account_players as p on a.account = p.account where p.player = :player"
        ),
    ),
    ClubTable(
        "account_players",
        "for whom each account stands",
        {"account": Holds.ACCOUNT, "player": Holds.PLAYER},
        Erasure.ROWS_LAST,
        not_taken_away="the accounts themselves are taken away",
    ),
    ClubTable(
        "account_groups",
        "which groups a coach trains",
        {"account": Holds.ACCOUNT, "group_name": Holds.NOBODY},
        Erasure.WITH_PARENT,
        not_taken_away="no account of a player has any",
    ),
    ClubTable(
        "web_sessions",
        "with which browsers the player is signed in",
        {
            "token_sha256": Holds.SECRET,
            "session": Holds.SECRET,
            "account": Holds.ACCOUNT,
            "made_at": Holds.NOBODY,
            "seen_at": Holds.NOBODY,
            "way": Holds.NOBODY,
            "device": Holds.NOBODY,
            "browser_sha256": Holds.SECRET,
            "confirmed_at": Holds.NOBODY,
        },
        Erasure.WITH_PARENT,
        survives_restore=False,
        taken_away=f"select account, device, made_at, seen_at, way from web_sessions where account in {OWN_ACCOUNTS}",
    ),
    ClubTable(
        "invitations",
        "links for the player that wait to be used",
        {
            "token_sha256": Holds.SECRET,
            "account": Holds.ACCOUNT,
            "made_at": Holds.NOBODY,
            "ends_at": Holds.NOBODY,
        },
        Erasure.WITH_PARENT,
        survives_restore=False,
        taken_away=f"select account, made_at, ends_at from invitations where account in {OWN_ACCOUNTS}",
    ),
    ClubTable(
        "settings_changes",
        "how the club's settings were changed",
        {
            "change": Holds.KEY,
            **dict.fromkeys(("changed_at", "before", "after", "taken_back_at"), Holds.NOBODY),
        },
        Erasure.NOTHING,
        not_taken_away="it tells of the club, and of no person",
    ),
    ClubTable(
        "failures",
        "sign-ins that failed",
        {"of_sha256": Holds.SECRET, "at_s": Holds.NOBODY},
        Erasure.NOTHING,
        not_taken_away="hashes, kept for a quarter of an hour, tell of nobody",
    ),
    ClubTable(
        "known_browsers",
        "in which browsers the player was signed in before",
        {
            "token_sha256": Holds.SECRET,
            "account": Holds.ACCOUNT,
            "made_at": Holds.NOBODY,
            "seen_at": Holds.NOBODY,
            "news_read": Holds.NOBODY,
        },
        Erasure.WITH_PARENT,
        survives_restore=False,
        taken_away=f"select account, made_at, seen_at from known_browsers where account in {OWN_ACCOUNTS}",
    ),
    ClubTable(
        "account_news",
        "what the player was told of their account: another browser, another password",
        {
            "news": Holds.KEY,
            "account": Holds.ACCOUNT,
            "happened_at": Holds.NOBODY,
            "what": Holds.NOBODY,
            "device": Holds.NOBODY,
            "browser_sha256": Holds.SECRET,
        },
        Erasure.WITH_PARENT,
        survives_restore=False,
        taken_away=f"select account, happened_at, what, device from account_news where account in {OWN_ACCOUNTS}",
    ),
    ClubTable(
        "passkeys",
        "keys on devices, by which somebody signs in",
        {
            "passkey": Holds.KEY,
            "account": Holds.ACCOUNT,
            "name": Holds.WORDS,
            **dict.fromkeys(("credential_id", "public_key", "sign_count"), Holds.SECRET),
            **dict.fromkeys(("made_at", "used_at"), Holds.NOBODY),
        },
        Erasure.WITH_PARENT,
        survives_restore=False,
        not_taken_away="players and guardians have none",
    ),
    ClubTable(
        "passkey_challenges",
        "what such a key is asked to sign",
        {
            "token_sha256": Holds.SECRET,
            "challenge": Holds.SECRET,
            "purpose": Holds.NOBODY,
            "account": Holds.ACCOUNT,
            "made_at": Holds.NOBODY,
        },
        Erasure.WITH_PARENT,
        survives_restore=False,
        not_taken_away="kept for five minutes, and of no player",
    ),
    ClubTable(
        "trail",
        "what the player did here, and what others did about them",
        {
            "entry": Holds.KEY,
            "happened_at": Holds.NOBODY,
            "account": Holds.ACCOUNT,
            "name": Holds.NAME,
            "event": Holds.NOBODY,
            "player": Holds.PLAYER,
            "about": Holds.WORDS,
            "address": Holds.ADDRESS,
            "kind": Holds.WORDS,
            **dict.fromkeys(("times", "last_at", "seal"), Holds.NOBODY),
        },
        Erasure.PERSON,
        taken_away=(
            "select happened_at, event, player, about, times, last_at,"
            # Who was refused is another person's affair, and so is from where somebody else came.
            f" case when account in {OWN_ACCOUNTS} or event <> 'refusal' then name end as name,"
            f" case when account in {OWN_ACCOUNTS} then address end as address"
            f" from trail where player = :player or account in {OWN_ACCOUNTS} order by entry"
        ),
    ),
    *OF_TRAINING,
)
