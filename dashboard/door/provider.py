"""Sign-in with an OpenID Connect provider. It says who somebody is to it; who they are to the club stands with us."""

import logging
import os
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
_WANTED, _INVITATION = "halflong.next", "halflong.invitation"

log = logging.getLogger(__name__)


def provider_routes(provider: Provider, door: Door, handlers: DoorRoutes) -> list[Route]:
    """The way to the provider and back."""
    client = _client(provider)

    async def go(request: Request) -> Response:
        """Send the browser to the provider; where it wants to go afterwards waits here."""
        form = await fields(request)
        request.session[_WANTED] = safe_next(form.get("next", "/"))
        request.session[_INVITATION] = form.get("invitation", "")
        there = (await client.authorize_redirect(request, _back(request, door))).headers["location"]
        return shown(pages.to_provider(await handlers.club(), there))

    async def come_back(request: Request) -> Response:
        """Let in whom the provider vouches for and an account knows."""
        wanted, invitation = request.session.pop(_WANTED, "/"), request.session.pop(_INVITATION, "")
        try:
            claims = (await client.authorize_access_token(request))["userinfo"]
        except (OAuthError, HTTPError, KeyError) as error:
            log.warning("the sign-in with the provider failed: %s", error)
            return shown(pages.provider_failed(await handlers.club()), 403)
        try:
            vouched = (str(claims["iss"]), str(claims["sub"])), invitation or None, handlers.visit(request)
            came = await run_sync(sign_in_flow.by_provider, door.folder, *vouched)
        except AccountProblem as problem:
            return shown(pages.provider_failed(await handlers.club(), str(problem)), 403)
        if came is None:
            return shown(pages.not_known_here(await handlers.club()), 403)
        return handlers.let_in(request, came, wanted)

    return [Route("/account/provider", go, methods=["POST"]), Route(BACK, come_back)]


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
