"""A kitchen book in a temporary folder, and the commands run on it in this process."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from labeller.cli.main import app

HEAD = "- kitchen: The Saltmarsh Room\n  jurisdiction: {law}\n"


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command left: its exit code and both streams."""

    code: int
    out: str
    err: str

    def json(self) -> Any:
        return json.loads(self.out)


def run(*arguments: str | Path) -> Ran:
    """Run a command in this process; a bug of ours is raised, not swallowed."""
    result = CliRunner().invoke(app, [str(one) for one in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Ran(result.exit_code, result.stdout, result.stderr)


@dataclass(frozen=True, slots=True)
class Kitchen:
    """A book in a folder."""

    folder: Path

    def write(self, text: str, *, name: str = "book.yaml", law: str | None = "eu") -> "Kitchen":
        """Write one file of the book, headed by the kitchen entry unless ``law`` is None."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text((HEAD.format(law=law) if law is not None else "") + text, encoding="utf-8")
        return self

    def declared(self, *arguments: str) -> dict[str, Any]:
        """Return the declarations by name, of dishes unless ``--all`` or ``--of`` is among the arguments."""
        ran = run("declare", self.folder, "--json", "--on", "2026-11-25", *arguments)
        assert ran.code == 0, ran.out + ran.err
        return {one["name"]: one for one in ran.json()["declarations"]}

    def one(self, name: str, *arguments: str) -> dict[str, Any]:
        """Return one declaration."""
        found: dict[str, Any] = self.declared("--of", name, *arguments)[name]
        return found

    def faults(self) -> list[dict[str, Any]]:
        """Return what ``check --json`` calls faults."""
        found: list[dict[str, Any]] = run("check", self.folder, "--json").json()["faults"]
        return found

    def advice(self) -> list[dict[str, Any]]:
        """Return what ``check --json`` calls advice."""
        found: list[dict[str, Any]] = run("check", self.folder, "--json").json()["advice"]
        return found


def rows(declaration: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the allergen rows of a declaration by group."""
    return {row["group"]: row for row in declaration["allergens"]}


def status(declaration: dict[str, Any], group: str) -> str:
    """Return the status of one group."""
    found: str = rows(declaration)[group]["status"]
    return found


def plate(*lines: str, name: str = "plate") -> str:
    """Return the text of a dish with these lines on its plate."""
    return f"- dish: {name}\n  plate:\n" + "".join(f"    - {line}\n" for line in lines)
