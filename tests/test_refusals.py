"""What a user can act on is told to them: every such exception has one base, which each face catches in one place."""

import ast
import importlib
import inspect
from pathlib import Path

import pytest

from dashboard import command_line
from models.refusal import Refused
from tests.test_house import MODULES, ROOT

OURS = {
    "BrokenModel": "a model file of ours does not keep the house's rules",
    "NotCarried": "a build makes everything anew and goes on",
    "NoFontHas": "the typesetter marks the signs and goes on",
    "NotTheseRows": "a question of ours gives other rows than it promises",
    "Unreadable": "becomes the refusal of a file, with the place in it",
}
"""Exceptions that are told to no user as they are, and why."""

FACES = ("command_line.py", "views/frame.py", "door/guard.py", "at_table/routes.py")


def exceptions() -> set[type[Exception]]:
    """Every public exception of the product."""
    names = [str(file.relative_to(ROOT).with_suffix("")).replace("/", ".") for file in MODULES]
    pages = ("dashboard.app", "dashboard.views.")  # Scripts, which draw as they are read.
    found = [vars(importlib.import_module(name)) for name in names if not name.startswith(pages)]
    return {
        thing
        for members in found
        for thing in members.values()
        if inspect.isclass(thing)
        and issubclass(thing, Exception)
        and thing.__module__ in names
        and not thing.__name__.startswith("_")
    }


def caught_in(file: Path) -> set[str]:
    handlers = [node for node in ast.walk(ast.parse(file.read_text("utf-8"))) if isinstance(node, ast.ExceptHandler)]
    return {name.id for one in handlers if one.type for name in ast.walk(one.type) if isinstance(name, ast.Name)}


def test_every_exception_is_told_to_the_user_or_is_a_fault_of_ours_with_a_reason() -> None:
    found = exceptions()

    assert len(found) > 20
    assert {one.__name__ for one in found if not issubclass(one, Refused)} == set(OURS)


@pytest.mark.parametrize("face", FACES)
def test_each_face_catches_the_base(face: str) -> None:
    assert "Refused" in caught_in(ROOT / "dashboard" / face)


def test_the_command_line_tells_any_refusal_and_exits_with_1(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class NewKind(Refused):
        """Made up here."""

    def refuse() -> None:
        raise NewKind("saw a net of 30 cm, expected 15.25.", where="table 3", to_do="Lower it.")

    monkeypatch.setattr(command_line, "registered", lambda _asked: refuse)
    with pytest.raises(SystemExit, match="1"):
        command_line.main()

    assert capsys.readouterr().err == "table 3: saw a net of 30 cm, expected 15.25. Lower it.\n"
