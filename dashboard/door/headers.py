"""What every answer says to the browser about what it may do: the content policy and its fellows."""

import re
from base64 import b64encode
from hashlib import sha256
from urllib.parse import quote

from starlette.datastructures import MutableHeaders
from starlette.types import Message, Scope, Send

OWN_PAGES = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
"""For the plain pages: nothing inline, nothing from elsewhere."""


def to_keep(file_name: str) -> dict[str, str]:
    """The headers of a file that is handed to one person: to be saved under this name, and kept by nobody between."""
    return {
        "content-disposition": f"attachment; filename*=UTF-8''{quote(file_name, safe='')}",
        "cache-control": "private, no-store",
        "content-security-policy": OWN_PAGES,
    }


_ALWAYS = {
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    # Not no-referrer: browsers would then call the origin of our own forms "null".
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}


def screens_policy(host: str, inline_scripts: tuple[str, ...]) -> str:
    """For Streamlit's pages: its own scripts only; styles are set inline throughout.

    The host is named for the websocket, since 'self' covers it in newer browsers only.
    """
    scripts = "".join(f" 'sha256-{script}'" for script in inline_scripts)
    sockets = f" ws://{host} wss://{host}" if re.fullmatch(r"[A-Za-z0-9.:\[\]-]+", host) else ""
    return (
        f"default-src 'self'; script-src 'self'{scripts}; style-src 'self' 'unsafe-inline'; "
        "img-src 'self' data: blob:; font-src 'self' data:; worker-src 'self' blob:; "
        f"connect-src 'self'{sockets}; object-src 'none'; form-action 'self'; "
        "frame-ancestors 'none'; base-uri 'self'"
    )


def inline_scripts(page: str) -> tuple[str, ...]:
    """Fingerprints of the scripts that stand in a page itself: these may run, and no others."""
    found = re.findall(r"<script>(.*?)</script>", page, flags=re.DOTALL)
    return tuple(b64encode(sha256(script.encode()).digest()).decode() for script in found)


def with_headers(send: Send, scope: Scope, policy: str, *, is_secure: bool) -> Send:
    """Send answers with these headers; an answer that brings a stricter policy of its own keeps it."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _ALWAYS.items():
                headers[name] = value
            headers.setdefault("content-security-policy", policy)
            if is_secure:
                headers["strict-transport-security"] = "max-age=31536000"
            if not scope["path"].startswith("/static/"):
                headers.setdefault("cache-control", "private, no-store")
        await send(message)

    return sending
