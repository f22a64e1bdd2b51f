"""Writing into a job folder so that it can be read whole at any moment, and never by two writers at once.

A file is written beside itself, forced to the disk and then put in place in one move. Who is killed on the
way leaves the old file as it was, and a leftover that the next writer writes over. The lock is the operating
system's own on an open file, so a killed writer holds none.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from builder.diagnostics import Fault

LOCK_FILE = ".lock"
PATIENCE = 10.0
"""Seconds that a writer waits for another one."""
PAUSE = 0.02

if sys.platform == "win32":
    import msvcrt

    def _try_lock(file: IO[bytes]) -> None:
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _try_lock(file: IO[bytes]) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def locked(folder: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Hold a job folder for one writer.

    Raises:
        Fault: when another writer does not let go of it in `patience` seconds, or it cannot be written.
    """
    try:
        file = (folder / LOCK_FILE).open("ab")
    except OSError as error:
        raise Fault(f"`{folder.name}` cannot be written: {reason(error)}", "check its rights") from None
    with file:
        _wait(file, folder, time.monotonic() + patience)
        yield


def _wait(file: IO[bytes], folder: Path, until: float) -> None:
    while True:
        try:
            _try_lock(file)
        except OSError:
            if time.monotonic() > until:
                raise Fault(f"`{folder.name}` is being written by someone else", "try again") from None
            time.sleep(PAUSE)
        else:
            return


def write_whole(path: Path, text: str) -> None:
    """Put a text in place of a file, whole or not at all; it is on the disk when this returns."""
    beside = path.with_name(f".{path.name}.new")
    with beside.open("w", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
    with suppress(OSError, AttributeError):  # a folder cannot be opened on every system
        _flush_folder(path.parent)


def _flush_folder(folder: Path) -> None:
    opened = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def reason(error: OSError) -> str:
    """Why the system refused, in its own words."""
    return (error.strerror or "no reason given").lower()
