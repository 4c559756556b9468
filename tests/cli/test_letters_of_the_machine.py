"""A machine whose own letters lack those of a name: an answer is still given, and JSON is UTF-8 (RFC 8259, section 8.1)."""

import json
import os
import subprocess
import sys

import pytest

from tests.kitchens import Kitchen

_BOOK = '- ingredient: Käsecrème κρέμα\n  spec: {statement: "MILK"}\n- dish: bun\n  plate: [10 g Käsecrème κρέμα]\n'
_MAIN = "from labeller.cli.main import main; main()"


@pytest.mark.parametrize("letters", ["ascii", "cp1252", "latin-1", "utf-8"])
@pytest.mark.parametrize("command", [("answer", "--of", "bun", "--about", "milk"), ("declare",)])
def test_a_name_beyond_the_machine_s_letters_is_written(
    kitchen: Kitchen, letters: str, command: tuple[str, ...]
) -> None:
    kitchen.write(_BOOK)
    name, *rest = command
    ran = subprocess.run(
        [sys.executable, "-c", _MAIN, name, str(kitchen.folder), *rest, "--json"],
        env={**os.environ, "PYTHONIOENCODING": letters},
        capture_output=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    assert "Käsecrème κρέμα" in json.dumps(json.loads(ran.stdout.decode("utf-8")), ensure_ascii=False)
