"""Layouts of pages that were looked at and found good. To put new ones in their place look at the pages again, then: RENEW_LAYOUTS=1 pytest ..."""

import json
import os
from pathlib import Path

from labeller.printing.page import Document

FOLDER = Path(__file__).parent / "reviewed"


def assert_as_reviewed(name: str, document: Document) -> None:
    """Hold a layout to the reviewed one of that name, item by item."""
    path = FOLDER / f"{name}.json"
    made = document.as_json()
    if os.environ.get("RENEW_LAYOUTS"):
        path.write_text(json.dumps(made, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    known = json.loads(path.read_text(encoding="utf-8"))
    assert len(made["pages"]) == len(known["pages"])
    for page, reviewed in zip(made["pages"], known["pages"], strict=True):
        for item, before in zip(page["items"], reviewed["items"], strict=False):
            assert json.loads(json.dumps(item)) == before
    assert json.loads(json.dumps(made)) == known
