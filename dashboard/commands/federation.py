"""Many clubs together: federation export, federation codes, federation build."""

import json
from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.printing import print_table
from dashboard.commands.shared import DATA_DIR, Data, ToldWhole, app, progress_bar, say, screen
from sql.federation.served import LEAST_PLAYERS
from sql.folder import DataFolder

federation = typer.Typer(no_args_is_help=True, help="Many clubs together: what they send, and the tables of all.")
app.add_typer(federation, name="federation")

Lake = Annotated[Path, typer.Option("--lake", help="The folder that the clubs of a federation share.", file_okay=False)]


@federation.command("export", cls=ToldWhole)
def export_command(
    lake: Lake,
    data: Data = DATA_DIR,
    is_new_key: Annotated[
        bool, typer.Option("--new-key", help="The key of this club's codes was lost: everybody gets other codes.")
    ] = False,
) -> None:
    """Write the club's log in force into a lake, in place of the last export; codes stand for all people."""
    from sql.lake.exporting import export_log  # noqa: PLC0415 (the other commands do without)

    manifest = export_log(DataFolder(data), lake, say, is_new_key=is_new_key)
    lines = manifest.rows_of("sessions") + manifest.rows_of("balls")
    size = sum(file.size_bytes for file in manifest.files)
    screen.print(
        f"{lake}: the club '{manifest.club_id}', {lines} lines of the log in {len(manifest.files)} files, "
        f"{size / 1e6:.1f} MB. No name is in them: 'halflong federation codes' tells whose codes they are.",
        markup=False,
    )


@federation.command("codes", cls=ToldWhole)
def codes_command(data: Data = DATA_DIR) -> None:
    """Tell which player a code in the lake stands for. Only the club can: its key lies in its data folder."""
    from sql.lake.codes import player_codes  # noqa: PLC0415

    print_table(screen, player_codes(DataFolder(data)))


@federation.command("build", cls=ToldWhole)
def build_command(
    lake: Lake,
    out: Annotated[Path, typer.Option("--out", help="Where the tables of all clubs are published.", file_okay=False)],
    engine: Annotated[
        str, typer.Option(help="duckdb; spark, on this machine; spark://HOST:PORT; or sc://HOST:PORT.")
    ] = "duckdb",
    check: Annotated[
        int, typer.Option(min=0, help="Make so many clubs once more by DuckDB, and compare before publishing.")
    ] = 0,
    processes: Annotated[int | None, typer.Option(min=1, help="Processes of DuckDB; as many as cores.")] = None,
    at_once: Annotated[
        int | None, typer.Option(min=1, help="Lines that a process of DuckDB takes at once: fewer need less memory.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Tell the build as JSON.")] = False,
) -> None:
    """Make the published tables of every club in a lake, by an engine of choice, and put them in force together."""
    from sql.federation.building import build_federation  # noqa: PLC0415
    from sql.federation.on_duckdb import MOST_LINES  # noqa: PLC0415

    lines = at_once or MOST_LINES
    with progress_bar() as progress:
        built = build_federation(engine, lake, out, check=check, processes=processes, at_once=lines, done=progress)
    if as_json:
        screen.print(json.dumps(built.model_dump(mode="json"), ensure_ascii=False), markup=False)
        return
    compared = f", {min(check, len(built.clubs))} of them compared with DuckDB" if check else ""
    screen.print(f"{out}: build {built.number} of {len(built.clubs)} clubs is in force{compared}.", markup=False)


@federation.command("clubs", cls=ToldWhole)
def clubs_command(
    out: Annotated[Path, typer.Option("--out", help="Where the tables of all clubs are published.", file_okay=False)],
    least: Annotated[
        int, typer.Option("--least-players", min=2, help="Of fewer players nothing is told.")
    ] = LEAST_PLAYERS,
    as_json: Annotated[bool, typer.Option("--json", help="Tell the clubs as JSON.")] = False,
) -> None:
    """Who sends logs, and how varied training is, by club and age group. Small groups are not told, nor any person."""
    from sql.federation.clubs import clubs_table  # noqa: PLC0415

    table = clubs_table(out, least)
    if as_json:
        screen.print(table.write_json(), markup=False)
        return
    print_table(screen, table)
    screen.print(
        "coverage: the mean share of the wanted combinations that players cover in their club's window, with its 95% "
        f"range over players. Groups of fewer than {least} players are told together or not at all.",
        markup=False,
    )
