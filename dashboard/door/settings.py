"""How the door is set: under which names the club is reached, and who else vouches for people. Read from club.toml."""

import os
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import urlsplit

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from sql.folder import DataFolder, FolderProblem

SECRET_VARIABLE = "HALFLONG_PROVIDER_SECRET"  # noqa: S105 - the name of the variable, not what it holds
"""Where the provider's client secret is read from: not from a file that is backed up and mailed around."""


class Provider(BaseModel):
    """An OpenID Connect provider with which people may sign in."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field("your club account", min_length=1, max_length=60, description="how people know it")
    issuer: str = Field(description="its address, as it names itself")
    client_id: str = Field(min_length=1, description="the name under which this server is known there")

    @field_validator("issuer")
    @classmethod
    def _is_safe_address(cls, issuer: str) -> str:
        parts = urlsplit(issuer)
        is_local = parts.hostname in ("localhost", "127.0.0.1", "::1")
        if parts.scheme != "https" and not (parts.scheme == "http" and is_local):
            raise ValueError("expected an address that begins with https://")
        return issuer.rstrip("/")


class DoorSettings(BaseModel):
    """The section [door] of club.toml."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    public_url: str | None = Field(None, description="the address of the TLS proxy before this server, https://...")
    hosts: tuple[str, ...] = Field((), description="further names under which this server may be called")
    provider: Provider | None = None

    @field_validator("public_url")
    @classmethod
    def _is_https_origin(cls, url: str | None) -> str | None:
        if url is None:
            return None
        parts = urlsplit(url)
        if parts.scheme != "https" or not parts.hostname or parts.path.strip("/") or parts.query:
            raise ValueError("expected an address such as https://club.example, without a path")
        return f"https://{parts.netloc}"


@dataclass(frozen=True)
class Door:
    """The door of one club's screens."""

    folder: DataFolder
    settings: DoorSettings
    own_hosts: tuple[str, ...] = ()
    """Names of this machine, where it may be reached by others."""

    @property
    def is_secure(self) -> bool:
        """Browsers reach this server through TLS."""
        return self.settings.public_url is not None

    @cached_property
    def cookie_name(self) -> str:
        """One for each club: a machine may serve two. With TLS, a name that no other host and no plain page can set."""
        return f"{'__Host-' if self.is_secure else ''}halflong-{self.folder.settings().club_id}"

    @cached_property
    def host_names(self) -> frozenset[str]:
        """The names under which this server may be called."""
        public = urlsplit(self.settings.public_url).hostname if self.settings.public_url else None
        names = ("localhost", public, *self.settings.hosts, *self.own_hosts)
        return frozenset(name.lower() for name in names if name)


def read_door(folder: DataFolder, own_hosts: tuple[str, ...] = ()) -> Door:
    """The door as club.toml sets it. Raises FolderProblem."""
    try:
        settings = DoorSettings.model_validate(folder.section("door"))
    except ValidationError as error:
        faults = [f"{'.'.join(map(str, e['loc']))}: saw {e['input']!r}; {e['msg']}" for e in error.errors()]
        raise FolderProblem(f"{folder.settings_file}, section [door]: {'; '.join(faults)}. Correct it.") from error
    if settings.provider and not os.environ.get(SECRET_VARIABLE):
        raise FolderProblem(
            f"{folder.settings_file} names an OpenID provider, but the variable {SECRET_VARIABLE} is empty. "
            "Put the client secret there, or take the section [door.provider] out."
        )
    return Door(folder, settings, own_hosts)
