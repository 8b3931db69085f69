"""Signing in by a passkey (W3C WebAuthn), and keeping one. Slow: never on the server's own thread.

A device signs what it was asked, for this address alone, after its owner has shown a finger, a face or a number to it:
two factors at once, and nothing that a false page could collect.
"""

import json
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

import webauthn
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url
from webauthn.helpers.exceptions import InvalidAuthenticationResponse, InvalidRegistrationResponse, WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from dashboard.door.checks import host_name
from dashboard.door.settings import Door
from dashboard.door.sign_in_flow import Denied, LetIn, Visit, begin_session
from models.permits import NotPermitted
from sql.club import accounts, audit_trail, passkey_challenges, passkeys, web_sessions
from sql.club.audit_trail import Event
from sql.club.file import ClubConnection, all_or_nothing, club_file
from sql.club.passkey_challenges import Challenge, Purpose
from sql.club.passkeys import Passkey
from sql.club.web_sessions import WAY_PASSKEY, SignedIn
from sql.folder import DataFolder

NOT_THIS_KEY = "This passkey does not let you in here. Try another way, or ask your coordinator."
TOO_LATE = "This took too long, or was done twice. Try again."
_FAULTS = (WebAuthnException, ValueError, KeyError, TypeError)
"""What the library raises for an answer that is none."""


@dataclass(frozen=True)
class Asked:
    """What the browser is to hand to the device, and the token by which its answer is known."""

    options: dict[str, Any]
    token: str


@dataclass(frozen=True)
class Here:
    """For which address a key is good: by the settings, never by what a request says of itself."""

    name: str
    origin: str


def here(door: Door, host: str) -> Here | None:
    """The club's address, or this machine's own name; None where no key can be good (RP ID: a domain, no number)."""
    if door.settings.public_url:
        return Here(urlsplit(door.settings.public_url).hostname or "", door.settings.public_url)
    return Here("localhost", f"http://{host}") if host_name(host) == "localhost" else None


def may_have_passkeys(who: SignedIn) -> bool:
    """Coordinators and coaches, who see more than one person's data."""
    return who.reader.role in passkeys.FOR_ROLES


def ask_for_new(folder: DataFolder, place: Here, club: str, who: SignedIn) -> Asked:
    """Ask a device for a new key. Raises NotPermitted."""
    _require_allowed(who)
    account = who.reader.account or 0
    with club_file(folder) as connection:
        token, challenge = passkey_challenges.ask(connection, Purpose.REGISTER, account)
        known = [_descriptor(key) for key in passkeys.of_account(connection, account)]
    options = webauthn.generate_registration_options(
        rp_id=place.name,
        rp_name=club,
        user_name=who.reader.name,
        user_id=f"{club}/{account}".encode()[:64],
        challenge=challenge,
        exclude_credentials=known,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED, user_verification=UserVerificationRequirement.REQUIRED
        ),
    )
    return Asked(json.loads(webauthn.options_to_json(options)), token)


def keep(
    folder: DataFolder, place: Here, who: SignedIn, token: str, answer: dict[str, Any], name: str, address: str
) -> Denied | None:
    """Keep the new key under a name. Raises NotPermitted, PasskeyProblem."""
    _require_allowed(who)
    account = who.reader.account or 0
    with club_file(folder) as connection:
        asked = passkey_challenges.answered(connection, token, Purpose.REGISTER)
        if asked is None or asked.account != account:
            return Denied(TOO_LATE, 410)
        try:
            new = webauthn.verify_registration_response(
                credential=answer,
                expected_challenge=asked.challenge,
                expected_rp_id=place.name,
                expected_origin=place.origin,
                require_user_verification=True,
            )
        except (InvalidRegistrationResponse, *_FAULTS):
            audit_trail.record(connection, Event.REFUSAL, "a new passkey: not what was asked", reader=who.reader)
            return Denied("This is no passkey that was made for this page. Try again.", 403)
        credential = bytes_to_base64url(new.credential_id)
        passkeys.keep(connection, account, name, credential, new.credential_public_key, new.sign_count)
        audit_trail.record(connection, Event.ACCOUNT, "a new passkey", reader=who.reader, address=address)
    return None


def ask_to_sign(folder: DataFolder, place: Here, purpose: Purpose, account: int | None = None) -> Asked:
    """Ask a device to sign: any key that is good here, or one of this account."""
    with club_file(folder) as connection:
        token, challenge = passkey_challenges.ask(connection, purpose, account)
        own = passkeys.of_account(connection, account) if account is not None else []
    options = webauthn.generate_authentication_options(
        rp_id=place.name,
        challenge=challenge,
        allow_credentials=[_descriptor(key) for key in own],
        user_verification=UserVerificationRequirement.REQUIRED,
    )
    return Asked(json.loads(webauthn.options_to_json(options)), token)


def sign_in(
    folder: DataFolder, place: Here, token: str, answer: dict[str, Any], visit: Visit, *, purpose: Purpose
) -> LetIn | Denied:
    """Let in whose key signed what this browser was asked; after a password, the same account's only."""
    with club_file(folder) as connection:
        key = _signed(connection, place, token, answer, purpose)
        if isinstance(key, Denied):
            _note(connection, f"sign-in by passkey: {purpose}", visit)
            return key
        account = accounts.by_number(connection, key.account)
        if account is None or account.role not in passkeys.FOR_ROLES:
            return Denied(NOT_THIS_KEY, 403)
        with all_or_nothing(connection):
            return begin_session(connection, account, WAY_PASSKEY, visit)


def confirm(
    folder: DataFolder, place: Here, who: SignedIn, token: str, answer: dict[str, Any], visit: Visit
) -> Denied | None:
    """Say again who one is, by one's own key."""
    with club_file(folder) as connection:
        key = _signed(connection, place, token, answer, Purpose.CONFIRM)
        if isinstance(key, Denied) or key.account != who.reader.account:
            audit_trail.record(connection, Event.REFUSAL, "saying again by passkey: not theirs", reader=who.reader)
            return key if isinstance(key, Denied) else Denied(NOT_THIS_KEY, 403)
        web_sessions.confirm(connection, who.session)
        said = "said again by passkey"
        audit_trail.record(connection, Event.SIGN_IN, said, reader=who.reader, address=visit.address)
    return None


def remove(folder: DataFolder, who: SignedIn, passkey: int, address: str) -> str | None:
    """Remove one of one's own keys; what it was called."""
    with club_file(folder) as connection:
        name = passkeys.remove(connection, who.reader.account or 0, passkey)
        if name is not None:
            audit_trail.record(connection, Event.ACCOUNT, "a passkey removed", reader=who.reader, address=address)
        return name


def require_them(folder: DataFolder, who: SignedIn, address: str, *, is_required: bool) -> None:
    """Whether one's password alone lets in. Raises NotPermitted, PasskeyProblem."""
    _require_allowed(who)
    with club_file(folder) as connection:
        passkeys.require_them(connection, who.reader.account or 0, is_required=is_required)
        about = f"a passkey beside the password: {'yes' if is_required else 'no'}"
        audit_trail.record(connection, Event.ACCOUNT, about, reader=who.reader, address=address)


def _signed(
    connection: ClubConnection, place: Here, token: str, answer: dict[str, Any], purpose: Purpose
) -> Passkey | Denied:
    """The key that signed what this browser was asked. The challenge is gone with the first answer, right or wrong."""
    asked = passkey_challenges.answered(connection, token, purpose)
    if asked is None:
        return Denied(TOO_LATE, 410)
    key = passkeys.by_credential(connection, str(answer.get("id", "")))
    if key is None or (asked.account is not None and key.account != asked.account):
        return Denied(NOT_THIS_KEY, 403)
    return _verified(connection, place, asked, key, answer)


def _verified(
    connection: ClubConnection, place: Here, asked: Challenge, key: Passkey, answer: dict[str, Any]
) -> Passkey | Denied:
    try:
        verified = webauthn.verify_authentication_response(
            credential=answer,
            expected_challenge=asked.challenge,
            expected_rp_id=place.name,
            expected_origin=place.origin,
            credential_public_key=key.public_key,
            credential_current_sign_count=key.sign_count,
            require_user_verification=True,
        )
    except (InvalidAuthenticationResponse, *_FAULTS):
        return Denied(NOT_THIS_KEY, 403)
    passkeys.was_used(connection, key.passkey, verified.new_sign_count)
    return key


def _note(connection: ClubConnection, about: str, visit: Visit) -> None:
    audit_trail.record(connection, Event.REFUSAL, about, address=visit.address)


def _require_allowed(who: SignedIn) -> None:
    if not may_have_passkeys(who):
        raise NotPermitted("Passkeys are for coordinators and coaches.")


def _descriptor(key: Passkey) -> PublicKeyCredentialDescriptor:
    return PublicKeyCredentialDescriptor(id=base64url_to_bytes(key.credential_id))
