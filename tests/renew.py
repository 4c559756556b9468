"""Write the README's example and output_examples again from the demo; look at the difference before committing it."""

import contextlib
import io
import re
import shutil
import tempfile
from datetime import date
from pathlib import Path

from pypdf import PdfReader

from labeller.cli.declare import declare
from labeller.cli.demo import demo
from labeller.cli.opening import read_and_work_out
from labeller.declarations.alcohol_courses import steeping_of, streams_of
from labeller.demonstration.place import demonstration_book
from labeller.printing.alcohol_pictures import PAST_READY, picture_of_steeping, picture_of_streams
from labeller.printing.drawing import write_drawing
from labeller.printing.preview import page_as_png

ROOT = Path(__file__).resolve().parents[1]
DAY = date(2026, 11, 25)
PREVIEWED_PAGES, PREVIEW_DPI = 2, 100
INFUSION = "plums in brandy"
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


def draw_previews(folder: Path) -> None:
    """Draw the first pages of every PDF below a folder beside it; look at them."""
    for old in folder.glob("*/*.png"):
        old.unlink()
    for path in sorted(folder.glob("*/*.pdf")):
        pdf = path.read_bytes()
        for page in range(min(PREVIEWED_PAGES, len(PdfReader(path).pages))):
            path.with_name(f"{path.stem}, page {page + 1}.png").write_bytes(page_as_png(pdf, page, PREVIEW_DPI))


def draw_infusion(folder: Path) -> None:
    """Draw the demo's infusion: strength over the days, and where its alcohol went."""
    _, workings, _ = read_and_work_out(demonstration_book())
    if workings is None:
        raise SystemExit("The demo book has faults.")
    steeping, streams = steeping_of(workings, INFUSION, beyond=PAST_READY), streams_of(workings, INFUSION)
    if steeping is None:
        raise SystemExit(f"'{INFUSION}' is no infusion.")
    for ending in ("svg", "png"):
        write_drawing(picture_of_steeping(steeping), folder / f"infusion_over_the_days.{ending}")
        write_drawing(picture_of_streams(streams), folder / f"where_the_alcohol_went.{ending}")


if __name__ == "__main__":
    readme = ROOT / "README.md"
    readme.write_text(readme_with_example(readme.read_text(encoding="utf-8")), encoding="utf-8")
    write_examples(ROOT / "output_examples")
    draw_previews(ROOT / "output_examples")
    draw_infusion(ROOT / "output_examples")
