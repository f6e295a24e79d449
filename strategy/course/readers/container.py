"""Takes a file out of .gz, .bz2 or .zip, told apart by content, not by name."""

from __future__ import annotations

import bz2
import gzip
import io
import zipfile
import zlib
from collections.abc import Callable
from typing import IO, Final

from strategy.errors import CourseError

# Unpacked in memory; a course is a thousand times smaller (engineering choice).
LIMIT_BYTES: Final = 1_000_000_000
_CHUNK: Final = 1 << 20
_NESTED: Final = 4


def unpack(file: str, raw: bytes) -> bytes:
    """Give the bytes of the one file inside, however often it is packed.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    raw : bytes
        Its content; what is not packed comes back as it is.

    Raises
    ------
    CourseError
        If it is damaged or cut off, too large, locked, or an archive of several files.
    """
    for _ in range(_NESTED):
        if raw.startswith(b"\x1f\x8b"):
            raw = _stream(file, raw, "gzip", lambda inner: gzip.GzipFile(fileobj=inner))
        elif raw.startswith(b"BZh"):
            raw = _stream(file, raw, "bzip2", bz2.BZ2File)
        elif raw.startswith((b"PK\x03\x04", b"PK\x05\x06")):
            raw = _from_zip(file, raw)
        else:
            return raw
    raise CourseError(file, "", "is packed in itself again and again", "Give the file inside")


def _stream(
    file: str, raw: bytes, what: str, opened: Callable[[IO[bytes]], gzip.GzipFile | bz2.BZ2File]
) -> bytes:
    try:
        with opened(io.BytesIO(raw)) as stream:
            return _limited(file, stream)
    except (OSError, EOFError, zlib.error) as error:
        raise CourseError(
            file, "", f"is damaged or cut off ({what}: {str(error).lower()})", "Download it again"
        ) from None


def _from_zip(file: str, raw: bytes) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            inside = [
                info
                for info in archive.infolist()
                if not info.is_dir()
                and not info.filename.startswith("__MACOSX/")
                and not info.filename.rpartition("/")[2].startswith(".")
            ]
            if len(inside) != 1:
                held = ", ".join(info.filename for info in inside[:5]) or "nothing"
                raise CourseError(
                    file,
                    "",
                    f"the archive holds {len(inside)} files ({held})",
                    "Give the one with the course",
                )
            if inside[0].flag_bits & 1:
                raise CourseError(file, inside[0].filename, "is locked with a password", "Unpack it first")
            with archive.open(inside[0]) as stream:
                return _limited(file, stream)
    except (zipfile.BadZipFile, OSError, EOFError, zlib.error, NotImplementedError) as error:
        raise CourseError(
            file, "", f"is damaged or cut off (zip: {str(error).lower()})", "Download it again"
        ) from None


def _limited(file: str, stream: gzip.GzipFile | bz2.BZ2File | IO[bytes]) -> bytes:
    """All of a stream, in pieces: what unpacks without end is stopped."""
    parts: list[bytes] = []
    size = 0
    while piece := stream.read(_CHUNK):
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
