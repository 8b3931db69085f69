"""A coverage dimension that the trade does not have, added to a copy of the sources as a contributor would add one.

Run in the copy as `python -m tests.made_up_dimension DATA_FOLDER`, it prints as JSON where the dimension is found.
"""

import json
import shutil
import sys
from datetime import date
from pathlib import Path

ROOT = Path(__file__).parents[1]
COPIED = ("models", "sql", "ingest", "dashboard", "demo_data")

WORDS = """
BOUNCE = WordList(
    "bounce",
    (Word("dead", "hardly rises"), Word("kicking", "jumps up")),
    title="Bounce",
    about="how the fed ball leaves the table",
)

COVERAGE_DIMENSIONS: tuple"""
COLUMN = """
    bounce: Annotated[str | None, OneOf(BOUNCE)] = Field(None, description="how the ball bounces", examples=["dead"])
    tempo_bpm: """
MIGRATION = "alter table log.sessions add column bounce varchar; alter table log.balls add column bounce varchar;"

LOGS = {
    "players.csv": "player,handedness\nP1,right\n",
    "setups.csv": "setup,x_cm,y_cm\nB,-20,0\n",
    "targets.csv": "target,applies_to,dimension,value,share\nt,*,depth,back,1\nt,*,bounce,dead,1\n"
    "t,*,bounce,kicking,1\n",
    "week.csv": "session_date,player,setup,spin,length,bounce,balls,good\n2026-03-02,P1,B,topspin,long,dead,40,20\n",
}


def copy_with_bounce(to: Path) -> None:
    """The sources, with the words, the column of the record and the migration of one more dimension: three places."""
    for package in COPIED:
        shutil.copytree(ROOT / package, to / package, ignore=shutil.ignore_patterns("__pycache__"))
    (to / "tests").mkdir()
    shutil.copy(__file__, to / "tests")
    _put(to / "models/words.py", "\nCOVERAGE_DIMENSIONS: tuple", WORDS)
    _put(to / "models/words.py", "    TEMPO_BAND,\n)", "    TEMPO_BAND,\n    BOUNCE,\n)")
    _put(to / "models/records.py", "\n    tempo_bpm: ", COLUMN)
    _put(to / "models/records.py", "from models.words import (", "from models.words import (\n    BOUNCE,")
    (to / "sql/log/9999_bounce.sql").write_text(MIGRATION)


def _put(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert text.count(old) == 1, f"{file}: {old!r} stands there {text.count(old)} times"
    file.write_text(text.replace(old, new), "utf-8")


def found(data: Path) -> dict[str, object]:
    """Where the dimension is, in a club whose target names it and whose log has one of its words."""
    from typer.testing import CliRunner

    from dashboard.at_table.offers import offers, start
    from dashboard.command_line import app
    from dashboard.questions import owners_desk
    from sql.folder import DataFolder
    from sql.warehouse import ask

    for name, text in LOGS.items():
        (data / name).write_text(text)
    runner, folder = CliRunner(), DataFolder(data / "club")
    loaded = runner.invoke(app, ["load", *(str(data / name) for name in LOGS), "--data", str(folder.path)])
    planned = runner.invoke(app, ["plan", "P1", "--minutes", "30", "--format", "json", "--data", str(folder.path)])
    desk = owners_desk(folder)
    begun = start(desk.reader, desk, folder.settings())
    return {
        "loaded": loaded.output if loaded.exit_code else "",
        "grid": ask(folder, "select bounce, cell from core.grid_cells order by bounce").rows(),
        "coverage": ask(folder, "select bounce, balls from report.coverage order by bounce").rows(),
        "next": ask(folder, "select bounce from report.gaps order by rank").rows(),
        "plan": json.loads(planned.stdout),
        "asked": [each["column"] for each in begun["asked"]],
        "words": [word["name"] for word in begun["words"]["bounce"]],
        "offered": [feed.get("bounce") for offer in offers(desk, "P1", date(2026, 3, 3)) for feed in offer["feeds"]],
    }


if __name__ == "__main__":
    print(json.dumps(found(Path(sys.argv[1]))))
