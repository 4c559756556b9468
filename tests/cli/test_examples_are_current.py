"""What stands in the README and in output_examples is what the tool makes today."""

import importlib.util
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]


def _renew() -> ModuleType:
    spec = importlib.util.spec_from_file_location("renew", ROOT / "tests" / "renew.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_declaration_in_the_readme_is_made_from_its_recipe() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert _renew().readme_with_example(readme) == readme, "run: python tests/renew.py"


def test_output_examples_are_what_the_demo_makes(tmp_path: Path) -> None:
    _renew().write_examples(tmp_path / "made")
    made = {path.name: path.read_bytes() for path in (tmp_path / "made").iterdir()}
    assert made
    for name, content in made.items():
        # The demo names the folder it was told to write to, which differs here.
        kept = (ROOT / "output_examples" / name).read_bytes()
        assert kept == content, f"{name}: run: python tests/renew.py"
