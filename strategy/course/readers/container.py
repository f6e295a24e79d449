"""Unpacks .gz, .bz2 and .zip files. The form is recognised by content, not by name."""

from __future__ import annotations

import bz2
import gzip
import io
import zipfile
import zlib
from collections.abc import Callable
from typing import IO, Final

from strategy.errors import CourseError

# Files are unpacked in memory. A course is a thousand times smaller than this (engineering choice).
LIMIT_BYTES: Final = 1_000_000_000
_CHUNK_BYTES: Final = 1 << 20
_DEEPEST: Final = 4  # how often a file may be packed in itself


def unpack(file: str, raw: bytes) -> bytes:
    """The content of the file inside, which may be packed several times.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it, for messages.
    raw : bytes
        Its content. Content that is not packed is returned unchanged.

    Raises
    ------
    CourseError
        If the file is damaged or cut off, too large, locked, or an archive of several files.
    """
    for _ in range(_DEEPEST):
        if raw.startswith(b"\x1f\x8b"):
            raw = _from_stream(file, raw, "gzip", lambda packed: gzip.GzipFile(fileobj=packed))
        elif raw.startswith(b"BZh"):
            raw = _from_stream(file, raw, "bzip2", bz2.BZ2File)
        elif raw.startswith((b"PK\x03\x04", b"PK\x05\x06")):
            raw = _from_zip(file, raw)
        else:
            return raw
    raise CourseError(file, "", "is packed in itself again and again", "Give the file inside")


def _from_stream(
    file: str, raw: bytes, form: str, open_stream: Callable[[IO[bytes]], gzip.GzipFile | bz2.BZ2File]
) -> bytes:
    """The content of a gzip or bzip2 file."""
    try:
        with open_stream(io.BytesIO(raw)) as stream:
            return _read_limited(file, stream)
    except (OSError, EOFError, zlib.error) as error:
        raise CourseError(
            file, "", f"is damaged or cut off ({form}: {str(error).lower()})", "Download it again"
        ) from None


def _from_zip(file: str, raw: bytes) -> bytes:
    """The content of the only file in a zip archive. Hidden files and those of one system are not counted."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            members = [
                info
                for info in archive.infolist()
                if not info.is_dir()
                and not info.filename.startswith("__MACOSX/")
                and not info.filename.rpartition("/")[2].startswith(".")
            ]
            if len(members) != 1:
                names = ", ".join(info.filename for info in members[:5]) or "nothing"
                wrong = f"the archive holds {len(members)} files ({names})"
                raise CourseError(file, "", wrong, "Give the one with the course")
            if members[0].flag_bits & 1:
                raise CourseError(file, members[0].filename, "is locked with a password", "Unpack it first")
            with archive.open(members[0]) as stream:
                return _read_limited(file, stream)
    except (zipfile.BadZipFile, OSError, EOFError, zlib.error, NotImplementedError) as error:
        raise CourseError(
            file, "", f"is damaged or cut off (zip: {str(error).lower()})", "Download it again"
        ) from None


def _read_limited(file: str, stream: gzip.GzipFile | bz2.BZ2File | IO[bytes]) -> bytes:
    """Read a stream in pieces, and stop one that is too large or never ends."""
    parts: list[bytes] = []
    size = 0
    while piece := stream.read(_CHUNK_BYTES):
        size += len(piece)
        if size > LIMIT_BYTES:
            raise CourseError(
                file,
                "",
                f"unpacks to more than {LIMIT_BYTES // 1_000_000} MB",
                "Cut out the course first (a bounding box of a few kilometres)",
            )
        parts.append(piece)
    return b"".join(parts)
