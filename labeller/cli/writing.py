"""Write files whole or not at all."""

import os
import tempfile
from pathlib import Path

from labeller.cli.opening import refuse_usage


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file by a temporary one beside it that then takes its place.

    Raises
    ------
    SystemExit
        With code 2 where the place cannot be written, naming it.
    """
    raw = content.encode("utf-8") if isinstance(content, str) else content
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(raw)
            Path(name).chmod(0o644)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as reason:
        raise refuse_usage(
            f"'{path}' cannot be written: {reason.strerror}. Choose a folder you may write to."
        ) from None
