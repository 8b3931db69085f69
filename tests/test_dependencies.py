"""What the product needs: pinned with fingerprints, and under licences that let a club do with it as it likes."""

import re
import tomllib
from collections.abc import Iterable, Iterator
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parents[1]
PERMISSIVE = re.compile(r"MIT|BSD|Apache|ISC|PSF|Mozilla Public|MPL|Zlib|CC0", re.IGNORECASE)
BINDING = re.compile(r"\bA?GPL|LGPL|GNU|proprietary|commercial", re.IGNORECASE)


def needed(requirements: Iterable[str], extra: str = "") -> Iterator[str]:
    """The names of what these requirements bring in here, and of what that brings in; some more than once."""
    for text in requirements:
        requirement = Requirement(text)
        if requirement.marker is None or requirement.marker.evaluate({"extra": extra}):
            yield requirement.name
            for one in requirement.extras or {""}:
                yield from needed(metadata.requires(requirement.name) or [], one)


def licence(name: str) -> str:
    told = metadata.metadata(name)
    classifiers = [one for one in told.get_all("Classifier", []) if one.startswith("License")]
    said = told.get("License-Expression") or "; ".join(classifiers) or told.get("License", "")
    return said or _top_of_licence(name)


def _top_of_licence(name: str) -> str:
    """What the file itself begins with, where the package says nothing else of it."""
    files = [file for file in metadata.files(name) or () if file.name.startswith("LICEN")]
    return str(files[0].read_text()).strip().splitlines()[0] if files else ""


def test_everything_that_the_product_needs_is_permissively_licensed() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    licences = {name: licence(name) for name in needed(project["dependencies"])}

    assert len(licences) > len(project["dependencies"])
    assert {name: told for name, told in licences.items() if not PERMISSIVE.search(told) or BINDING.search(told)} == {}


def test_every_file_that_is_installed_is_pinned_by_its_fingerprint() -> None:
    lock = tomllib.loads((ROOT / "uv.lock").read_text("utf-8"))
    files = [file for package in lock["package"] for file in (*package.get("wheels", []), package.get("sdist"))]

    assert len(files) > len(lock["package"])
    assert [file for file in files if file and not file["hash"].startswith("sha256:")] == []


def test_of_everything_we_depend_on_it_is_said_how_soon_a_fault_is_mended() -> None:
    told = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    table = told[told.index("### What we depend on") : told.index("## The house")]
    rows = re.findall(r"^\| [^|]+ \| ([^|]+) \| mended within (\d+) days \|$", table, flags=re.MULTILINE)
    named = [name for packages, _ in rows for name in packages.split(", ")]
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]

    assert sorted(named) == sorted(Requirement(text).name for text in project["dependencies"])
    assert {int(days) for _, days in rows} <= {7, 30}


def test_the_whole_check_stops_at_a_known_fault_of_what_is_pinned() -> None:
    script = (ROOT / ".ci" / "run").read_text("utf-8")
    audit = script[script.index("uv audit") :]

    assert "--locked" in audit
    assert audit.rstrip().endswith("exit 1\nfi")
