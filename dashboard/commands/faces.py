"""The screens: serve, and the demo club."""

from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.shared import DATA_DIR, Data, NoOpen, Port, app, progress_bar, say, screen, today
from dashboard.demo import prepare_demo
from dashboard.serving import serve
from sql.folder import DataFolder

DEMO_DIR = Path("halflong-demo")


@app.command("serve")
def serve_command(
    data: Data = DATA_DIR,
    port: Port = None,
    no_open: NoOpen = False,
    address: Annotated[
        str, typer.Option(help="Address to listen on; this machine only, until there is a sign-in.")
    ] = "127.0.0.1",
) -> None:
    """Serve the screens on this machine and open them in a browser."""
    serve(DataFolder(data), address=address, port=port, opens_browser=not no_open, say=screen.print)


@app.command("demo")
def demo_command(data: Data = DEMO_DIR, port: Port = None, no_open: NoOpen = False) -> None:
    """Build a small invented club, serve it and open its screens; with --no-open, build it and exit."""
    folder = DataFolder(data)
    with progress_bar() as progress:
        for sentence in prepare_demo(folder, today=today(), say=say, progress=progress):
            screen.print(sentence, markup=False)
    if not no_open:
        serve(folder, port=port, say=screen.print)
