"""Write the README's example and output_examples again from the demo; look at the difference before committing it."""

import contextlib
import io
import re
import shutil
import tempfile
from datetime import date
from pathlib import Path

from labeller.cli.declare import declare
from labeller.cli.demo import demo

ROOT = Path(__file__).resolve().parents[1]
DAY = date(2026, 11, 25)
BEGIN, END = "<!-- declaration -->", "<!-- end of declaration -->"


def readme_with_example(readme: str) -> str:
    """Return the README with the declaration of its own recipe between the two marks."""
    recipe = re.search(r"```yaml\n(.*?)```", readme, re.DOTALL)
    if recipe is None:
        raise SystemExit("README.md has no recipe.")
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "book.yaml").write_text(recipe[1], encoding="utf-8")
        page = io.StringIO()
        with contextlib.redirect_stdout(page):
            declare(Path(folder), of=None, everything=False, menu=None, jurisdiction=None, on=DAY, json_out=False)
    before, rest = readme.split(BEGIN)
    after = rest.split(END)[1]
    return f"{before}{BEGIN}\n```text\n{page.getvalue().rstrip()}\n```\n{END}{after}"


def write_examples(folder: Path) -> None:
    """Write everything the demo makes, without the book itself, which stands in the package."""
    demo(folder, DAY)
    shutil.rmtree(folder / "book")


if __name__ == "__main__":
    readme = ROOT / "README.md"
    readme.write_text(readme_with_example(readme.read_text(encoding="utf-8")), encoding="utf-8")
    write_examples(ROOT / "output_examples")
