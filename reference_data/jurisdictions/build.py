"""Compile the law of each jurisdiction from its YAML files to the JSON that is loaded.

Run ``python reference_data/jurisdictions/build.py`` after any change; give a folder to compile jurisdictions that lie elsewhere.
"""

import sys
from pathlib import Path

from labeller.jurisdictions.compiling import as_bytes, compile_folder, compiled_path


def main(arguments: list[str]) -> int:
    """Compile every jurisdiction of a folder; return 1 if any of them has a fault."""
    place = Path(arguments[0]) if arguments else Path(__file__).resolve().parent
    failed = False
    for folder in sorted(path.parent for path in place.glob("*/about.yaml")):
        pack, faults = compile_folder(folder)
        for fault in faults:
            print(fault.as_text(), file=sys.stderr)
        if pack is None:
            failed = True
            continue
        written = as_bytes(pack)
        compiled_path(folder).write_bytes(written)
        rows = sum(len(rows) for rows in pack["subjects"].values())
        print(f"{folder.name}: {rows} rows, {len(written)} bytes")
    return int(failed)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
