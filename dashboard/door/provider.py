"""Sign-in with an OpenID Connect provider. It says who somebody is to it; who they are to the club stands with us."""

import logging
import os
from time import time
from typing import Any

from anyio.to_thread import run_sync
from authlib.integrations.base_client import OAuthError
from authlib.integrations.starlette_client import OAuth
from httpx2 import HTTPError
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from dashboard.door import pages, sign_in_flow
from dashboard.door.checks import safe_next
from dashboard.door.routes import DoorRoutes, fields, shown
from dashboard.door.settings import SECRET_VARIABLE, Door, Provider
from sql.club.accounts import AccountProblem

BACK = "/account/provider/back"
_WANTED, _INVITATION, _AGAIN = "halflong.next", "halflong.invitation", "halflong.again"
_ASK_ANEW = {"prompt": "login", "max_age": "0"}
ASKED_ANEW_WITHIN_S = 300
"""Who says again who they are has typed something at the provider no longer ago than this."""

log = logging.getLogger(__name__)


def provider_routes(provider: Provider, door: Door, handlers: DoorRoutes) -> list[Route]:
    """The way to the provider, and back for whom it vouches for and an account knows."""
    client = _client(provider)

    async def go(request: Request) -> Response:
        form = await fields(request)
        asked = _remembered(request, form)
        there = (await client.authorize_redirect(request, _back(request, door), **asked)).headers["location"]
        return shown(pages.to_provider(await handlers.club(), there))

    async def come_back(request: Request) -> Response:
        wanted, invitation = request.session.pop(_WANTED, "/"), request.session.pop(_INVITATION, "")
        try:
            claims = (await client.authorize_access_token(request))["userinfo"]
        except (OAuthError, HTTPError, KeyError) as error:
            log.warning("the sign-in with the provider failed: %s", error)
            return shown(pages.provider_failed(await handlers.club()), 403)
        if request.session.pop(_AGAIN, False) and not was_asked_anew(claims):
            return shown(pages.provider_failed(await handlers.club(), pages.NOT_ASKED_AGAIN), 403)
        try:
            vouched = (str(claims["iss"]), str(claims["sub"])), invitation or None, handlers.visit(request)
            came = await run_sync(sign_in_flow.by_provider, door.folder, *vouched)
        except AccountProblem as problem:
            return shown(pages.provider_failed(await handlers.club(), str(problem)), 403)
        if came is None:
            return shown(pages.not_known_here(await handlers.club()), 403)
        return handlers.let_in(request, came, wanted)

    return [Route("/account/provider", go, methods=["POST"]), Route(BACK, come_back)]


def _remembered(request: Request, form: dict[str, str]) -> dict[str, str]:
    """Keep in the browser what is to be done when it comes back; what more to ask of the provider."""
    request.session[_WANTED] = safe_next(form.get("next", "/"))
    request.session[_INVITATION] = form.get("invitation", "")
    request.session[_AGAIN] = "again" in form
    return _ASK_ANEW if "again" in form else {}


def was_asked_anew(claims: dict[str, Any]) -> bool:
    """The provider has asked the person only now who they are."""
    return time() - int(claims.get("auth_time", 0)) <= ASKED_ANEW_WITHIN_S


def _back(request: Request, door: Door) -> str:
    # Behind a proxy the browser's own address, not the one that the proxy used.
    return (door.settings.public_url or str(request.base_url).rstrip("/")) + BACK


def _client(provider: Provider) -> Any:
    return OAuth().register(
        name="provider",
        server_metadata_url=f"{provider.issuer}/.well-known/openid-configuration",
        client_id=provider.client_id,
        client_secret=os.environ[SECRET_VARIABLE],
        # Only who somebody is: their name and mail address stay with the provider.
        client_kwargs={"scope": "openid", "code_challenge_method": "S256"},
    )
