"""What stands in the README and in output_examples is what the tool makes today."""

import importlib.util
from pathlib import Path
from types import ModuleType

import docx
from pypdf import PdfReader

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


def _said(path: Path) -> object:
    """Return what a file says: the bytes of text, the words of pages, whose bytes change with the libraries that press them."""
    if path.suffix == ".pdf":
        return [page.extract_text() for page in PdfReader(path).pages]
    if path.suffix == ".docx":
        return [paragraph.text for paragraph in docx.Document(str(path)).paragraphs]
    return path.read_bytes()


def test_output_examples_are_what_the_demo_makes(tmp_path: Path) -> None:
    _renew().write_examples(tmp_path / "made")
    made = {path.relative_to(tmp_path / "made"): path for path in (tmp_path / "made").rglob("*") if path.is_file()}
    assert {path.suffix for path in made} >= {".txt", ".json", ".pdf", ".docx", ".html", ".md"}
    for name, path in made.items():
        assert _said(ROOT / "output_examples" / name) == _said(path), f"{name}: run: python tests/renew.py"


def test_every_paper_has_a_picture() -> None:
    papers = sorted((ROOT / "output_examples").glob("*/*.pdf"))
    assert papers
    for path in papers:
        assert path.with_name(f"{path.stem}, page 1.png").is_file(), "run: python tests/renew.py"
