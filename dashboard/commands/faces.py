"""The screens: serve, and the demo club."""

from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.accounts import at_this_keyboard
from dashboard.commands.demo import demo_links, prepare_demo
from dashboard.commands.shared import DATA_DIR, Data, NoOpen, Port, app, progress_bar, say, screen
from dashboard.services.accounts import FIRST_COORDINATOR, first_coordinators_link
from dashboard.serving import IN_THE_OPEN, place_for, serve
from ingest.club_day import today
from sql.club.audit_trail import drop_older
from sql.folder import DataFolder

DEMO_DIR = Path("halflong-demo")


@app.command("serve")
def serve_command(
    data: Data = DATA_DIR,
    port: Port = None,
    no_open: NoOpen = False,
    address: Annotated[
        str, typer.Option(help="Address to listen on: this machine only, with a TLS proxy before it for others.")
    ] = "127.0.0.1",
    in_the_open: Annotated[
        bool,
        typer.Option(IN_THE_OPEN, help="Listen to others without TLS: everybody on the network can read along."),
    ] = False,
) -> None:
    """Serve the screens and open them in a browser. Prints a link for the first coordinator until one has come in."""
    folder, place = DataFolder(data), place_for(address, port, in_the_open=in_the_open)
    drop_older(folder, folder.settings().trail_kept_since(today()))

    def greet(url: str) -> str:
        path = first_coordinators_link(folder, at_this_keyboard())
        if path:
            for sentence in _first_link(url + path, is_seen=screen.is_terminal):
                screen.print(sentence, markup=False)
        return path or "/"

    serve(folder, place, opens_browser=not no_open, greet=greet, say=screen.print)


def _first_link(link: str, *, is_seen: bool) -> tuple[str, ...]:
    """The first coordinator's link, for whoever sits there; not for a log, which others may read for months."""
    if is_seen:
        return "No coordinator has come in yet. This link lets the first one in, once:", f"  {link}"
    to_do = f"'halflong account link {FIRST_COORDINATOR}' prints the first link; it is not written into this log."
    return (f"No coordinator has come in yet. {to_do}",)


@app.command("demo")
def demo_command(data: Data = DEMO_DIR, port: Port = None, no_open: NoOpen = False) -> None:
    """Build a small invented club, serve it and open its screens; with --no-open, build it and exit."""
    folder = DataFolder(data)
    with progress_bar() as progress:
        for sentence in prepare_demo(folder, today=today(), say=say, progress=progress):
            screen.print(sentence, markup=False)
    if no_open:
        return

    def greet(url: str) -> str:
        links = demo_links(folder, at_this_keyboard())
        screen.print("Each of these links lets one of its people in, once:")
        for name, path in links.items():
            screen.print(f"  {name}: {url}{path}", markup=False)
        return next(iter(links.values()))

    serve(folder, place_for("127.0.0.1", port), greet=greet, say=screen.print)
