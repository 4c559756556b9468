"""Make ``reference_doses.json`` from ``reference_doses.csv`` and ``sources.csv``: the reference dose of each source.

Run it after either changes::

    python reference_data/allergens/build_reference_doses.py
"""

import csv
import json
from pathlib import Path

HERE = Path(__file__).resolve().parent
COMPILED = HERE / "reference_doses.json"


def compile_doses() -> str:
    """Return the text of ``reference_doses.json``: for each source its dose, report, standing and ground.

    A row that counts for a kind gives every source of that kind its dose; a row without a dose says why there is none.
    """
    with (HERE / "sources.csv").open(encoding="utf-8", newline="") as file:
        kind_of = {line["source"]: line["kind"] for line in csv.DictReader(file)}
    with (HERE / "reference_doses.csv").open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))
    doses: dict[str, list[str | float | bool | None]] = {}
    for line in lines:
        names = [name.strip() for name in line["names"].split(";")]
        if line["counts_for"] == "kind":
            names = [source for source, kind in kind_of.items() if kind in names]
        for name in names:
            if name not in kind_of:
                raise SystemExit(
                    f"reference_doses.csv: {name!r} is not in sources.csv. Add it there, or use a name that is."
                )
            if name in doses:
                raise SystemExit(f"reference_doses.csv: {name!r} has two doses. Keep one.")
            dose = float(line["dose_mg_protein"]) if line["dose_mg_protein"] else None
            doses[name] = [dose, line["report"], line["confirmed"] == "yes", line["ground"]]
    return json.dumps(doses, ensure_ascii=False, indent=0, sort_keys=True) + "\n"


if __name__ == "__main__":
    COMPILED.write_text(compile_doses(), encoding="utf-8")
    print(f"wrote {COMPILED.name}")
