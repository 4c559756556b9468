"""``labeller import``: recipes and ingredients from spreadsheets, texts and JSON-LD into a book."""

import json
import os
import tempfile
from pathlib import Path
from typing import Any

from labeller.book.files import read_files
from labeller.bringing_in.holding import book_reader
from labeller.bringing_in.importing import BroughtIn, bring_in
from labeller.bringing_in.shapes import Kind
from labeller.cli.exits import FAULTS
from labeller.cli.opening import count_of, refuse_usage, say, today
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.jurisdictions.packs import known_jurisdictions


def import_(
    file: Path,
    book: Path,
    *,
    as_kind: str,
    replace: bool,
    dry_run: bool,
    skip_doubtful: bool,
    blank_means: str,
    json_out: bool,
    ask: bool = False,
    best: bool = False,
) -> int:
    """Bring a file into a book and say what was done; return 1 where there are faults, else 0.

    Nothing is written while there are faults, unless ``skip_doubtful``; then whole recipes are left out, never lines. Names that
    nothing answers to are matched afterwards: ``best`` writes what is sure, ``ask`` walks through the rest.
    """
    if ask and (dry_run or json_out):
        raise refuse_usage("--ask: a walk at the keyboard writes entries. Leave out --dry-run and --json.")
    kinds: dict[str, Kind] = {"preparation": "preparation", "dish": "dish"}
    if as_kind not in kinds:
        raise refuse_usage(f"--as: '{as_kind}' is not what a recipe can become. Write preparation or dish.")
    if blank_means not in ("unknown", "none"):
        raise refuse_usage(f"--blank-means: '{blank_means}' is not an answer. Write unknown or none.")
    if not file.exists():
        raise refuse_usage(f"'{file}' is not there. Write a spreadsheet, a recipe text, or a folder of them.")
    if not book.is_dir():
        raise refuse_usage(f"--into: '{book}' is not a folder. Write the folder of a kitchen book.")
    if file.is_dir() and file.resolve() in (book.resolve(), *book.resolve().parents):
        raise refuse_usage(f"'{file}' holds the book itself. Write a folder with nothing but the recipes to bring in.")
    read = book_reader(known_jurisdictions(), load_table(), load_household())
    found = bring_in(
        file,
        read_files(book),
        read,
        kind=kinds[as_kind],
        replace_entries=replace,
        skip_doubtful=skip_doubtful,
        blank_means_none=blank_means == "none",
        day=today().isoformat(),
    )
    if found.writes and not dry_run:
        write_all(book, found.writes)
    if not json_out:
        _print(found, file, dry_run=dry_run, skipped=skip_doubtful)
    matched: list[str] = []
    if (ask or best) and found.unknown and (dry_run or found.writes):
        from labeller.cli.match import match_brought_in, would_match

        names = [one.name for one in found.unknown]
        if dry_run:
            matched = would_match(names, quiet=json_out)
        else:
            matched = match_brought_in(book, names, ask=ask, best=best, quiet=json_out)
    if json_out:
        document = {**as_json(found, file, book, dry_run=dry_run), "matched": matched}
        print(json.dumps(document, ensure_ascii=False, indent=1))
    return FAULTS if found.faults else 0


def write_all(folder: Path, writes: dict[str, str]) -> None:
    """Write several files of a book, all or none: temporary files first, then each takes its place.

    Raises
    ------
    SystemExit
        With code 2 where one cannot be written; those that took their place before it are put back.
    """
    ready: list[tuple[Path, Path, bytes | None]] = []
    done: list[tuple[Path, bytes | None]] = []
    try:
        for name, text in writes.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, part = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
            ready.append((Path(part), path, path.read_bytes() if path.exists() else None))
            with os.fdopen(handle, "wb") as opened:
                opened.write(text.encode("utf-8"))
            Path(part).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        for part_path, path, before in ready:
            part_path.replace(path)
            done.append((path, before))
    except OSError as reason:
        for path, before in done:
            if before is None:
                path.unlink(missing_ok=True)
            else:
                path.write_bytes(before)
        raise refuse_usage(f"'{folder}' cannot be written: {reason.strerror}. Nothing was changed.") from None
    finally:
        for part_path, _, _ in ready:
            part_path.unlink(missing_ok=True)


def as_json(found: BroughtIn, file: Path, book: Path, *, dry_run: bool) -> dict[str, Any]:
    """Return what was taken, written and left, the names not known, and the faults."""
    written = {} if dry_run else found.writes
    return {
        "source": str(file),
        "book": str(book),
        "dry_run": dry_run,
        "columns": [one.as_json() for one in found.taken.columns],
        "recipes": [
            {
                "name": one.name,
                "kind": one.kind,
                "from": {"file": one.place.file, "cell": one.place.cell},
                "lines": [line.text for line in one.lines],
                "method": list(one.method),
                "gives": one.gives,
                "makes": one.makes,
                "file": found.files.get((one.kind, one.name), ""),
                "replaced": one.name in found.replaced,
            }
            for one in found.recipes
        ],
        "ingredients": [
            {
                "name": one.name,
                "from": {"file": one.place.file, "cell": one.place.cell},
                "file": found.files.get(("ingredient", one.name), ""),
            }
            for one in found.goods
        ],
        "written": sorted(written),
        "left": [one.as_json() for one in found.taken.left],
        "left_out": found.left_out,
        "unknown": [
            {
                "name": one.name,
                "lines": one.lines,
                "first": {"file": one.first.file, "cell": one.first.cell},
                "nearest": list(one.nearest),
            }
            for one in found.unknown
        ],
        "faults": [one.as_json() for one in found.faults],
    }


def _print(found: BroughtIn, file: Path, *, dry_run: bool, skipped: bool) -> None:
    for column in _alike(found):
        say(column)
    for left in found.taken.left:
        say(left.as_text())
    for fault in found.faults:
        print(fault.as_text())
    lines = sum(len(one.lines) for one in found.recipes)
    parts = (
        [f"{_counted(len(found.recipes), 'recipe')} with {_counted(lines, 'line')}"]
        if found.recipes or not found.goods
        else []
    )
    parts += [_counted(len(found.goods), "ingredient")] if found.goods else []
    print(f"{'Read' if not found.writes or dry_run else 'Brought in'} from '{file.name}': {' and '.join(parts)}.")
    for path, text in sorted(found.writes.items()):
        print(f"{'Would write' if dry_run else 'Wrote'} {path}.")
        if dry_run:
            print(text.rstrip("\n"))
    if found.replaced:
        print(f"In the place of what was there: {', '.join(found.replaced)}.")
    if found.left_out:
        print(f"Left out for their faults: {', '.join(dict.fromkeys(found.left_out))}.")
    if found.unknown:
        stand = "1 name is" if len(found.unknown) == 1 else f"{len(found.unknown)} names are"
        print(
            f"{stand} not in the book, nor on the shelf. 'labeller match BOOK --ask' goes through them; "
            "the nearest names may be another food:"
        )
        for one in found.unknown:
            near = f"; nearest: {', '.join(one.nearest)}" if one.nearest else ""
            print(f"    {one.name} ({_counted(one.lines, 'line')}){near}")
    if found.faults:
        if not found.writes:
            other = "" if skipped else ", or say --skip-doubtful to bring in the recipes that have none"
            print(f"Nothing was written. Mend the faults{other}.")
        print(count_of(found.faults))


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _alike(found: BroughtIn) -> list[str]:
    """Return what each column was taken for, one sentence for the sheets of a workbook that are alike."""
    shown: dict[tuple[str, str], list[str]] = {}
    for one in found.taken.columns:
        shown.setdefault((one.text, one.why), []).append(one.place.cell or one.place.file)
    said = []
    for (text, why), places in shown.items():
        more = f" and {len(places) - 1} more" if len(places) > 1 else ""
        said.append(f"column {repr(text) + ' ' if text else ''}({places[0]}{more}) {why}")
    return said
