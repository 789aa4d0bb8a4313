"""Photographs of a saved check: the file beside the record, its hash in an entry, so that a changed one shows.

A photograph is attached as a mistake is corrected: by an entry of its own, which holds all that the earlier one held,
names it, and adds the photographs with their hashes. So nothing that was saved is changed, and the chain of hashes
holds the photographs too. The file is kept as it came, byte for byte, in the folder ``photographs``.
"""

from __future__ import annotations

import hashlib
import io
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from rotorkit.edges.received import bytes_of
from rotorkit.edges.visible import in_a_line
from rotorkit.record.errors import NOTHING_SAVED, RecordError

FOLDER = "photographs"
FORMATS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp"}
OTHER_FILES = (
    (4, b"ftyphei", "it is a HEIC file, as some telephones write them"),
    (4, b"ftypmif1", "it is a HEIC file, as some telephones write them"),
    (4, b"ftyp", "it is a film"),
    (0, b"%PDF", "it is a PDF"),
    (0, b"GIF8", "it is a GIF"),
    (0, b"II*\0", "it is a TIFF or a camera's raw file"),
    (0, b"MM\0*", "it is a TIFF or a camera's raw file"),
)
"""Where in a file which bytes stand, and what that file is: ISO/IEC 14496-12 and 23008-12 (brands), and each format's
own specification, from memory. They choose words alone: whether it is a photograph the picture library decides."""
LARGEST = 60_000_000
"""So many bytes a photograph may have."""
SUFFIXES = tuple(FORMATS.values())
MOST = 40
"""So many photographs one check may have."""
LONGEST_NAME = 120
QUALITY = 80
"""Of the JPEG that a photograph is shown as."""


@dataclass(frozen=True)
class Attached:
    """One photograph of an entry. name: as the file was called; file: its name in `FOLDER`; sha256, size: of its
    bytes."""

    name: str
    file: str
    sha256: str
    size: int

    def plain(self) -> dict[str, Any]:
        """As an entry keeps it."""
        return asdict(self)


def attached_to(work: Mapping[str, Any]) -> list[Attached]:
    """The photographs that an entry's work names; none in an entry of before there were any."""
    return [Attached(**one) for one in work.get("photographs", [])]


def received(given: Path | tuple[str, bytes]) -> tuple[Attached, bytes]:
    """A photograph to be attached, from a file or from a name and its bytes. Raises `RecordError`."""
    if isinstance(given, tuple):
        name, data = given
    else:
        name = given.name
        try:
            data = bytes_of(given, LARGEST)
        except OSError as problem:
            raise RecordError(f"{in_a_line(str(given))} cannot be read: {problem.strerror}. {NOTHING_SAVED}") from None
    said = in_a_line(name)[-LONGEST_NAME:]
    if len(data) > LARGEST:
        raise RecordError(f"{said} has more than {LARGEST // 1_000_000} MB: save it smaller. {NOTHING_SAVED}")
    digest = hashlib.sha256(data).hexdigest()
    return Attached(said, digest[:24] + FORMATS[looked_at(said, data)], digest, len(data)), data


def looked_at(name: str, data: bytes) -> str:
    """The format of a photograph that can be shown; `RecordError` for anything else."""
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data), formats=list(FORMATS)) as picture:
            form = str(picture.format)
            picture.load()
    except Exception as problem:
        raise RecordError(f"{name} {why_not(data, problem)}. {NOTHING_SAVED}") from None
    return form


def why_not(data: bytes, problem: Exception) -> str:
    """Why bytes cannot be shown as a photograph, in words that follow its name: what they are, and what to do."""
    from PIL import Image

    if isinstance(problem, MemoryError):
        return "could not be looked at, with too little memory: close other programs or notebooks, or save it smaller"
    if isinstance(problem, Image.DecompressionBombError):
        return "has more picture points than can be shown: save it smaller, and attach that"
    if not data:
        return "is an empty file: copy it from the camera once more"
    if isinstance(problem, Image.UnidentifiedImageError):
        kind = next((words for at, mark, words in OTHER_FILES if data[at:].startswith(mark)), "")
        said = f": {kind}" if kind else ""
        return f"is not a photograph that can be shown{said}. Save it as JPEG or PNG, and attach that"
    return "is a photograph that breaks off, or is damaged: copy it from the camera once more, and attach that"


def keep(folder: Path, photograph: Attached, data: bytes) -> None:
    """Put a photograph's bytes on the drive, beside the record. One that is there already, and as it was, stays."""
    place = folder / FOLDER / photograph.file
    if not fault_of(folder, photograph):
        return
    if place.exists():
        raise RecordError(f"{place} exists already and is a different file: move it away first. {NOTHING_SAVED}")
    try:
        place.parent.mkdir(exist_ok=True)
        partly = place.with_suffix(".part")
        with partly.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        partly.replace(place)
    except OSError as problem:
        raise RecordError(f"{place} cannot be written: {problem.strerror}. {NOTHING_SAVED}") from None


def fault_of(folder: Path, photograph: Attached) -> str:
    """What is wrong with a photograph's file, in words; empty where it is as it was attached."""
    try:
        data = (folder / FOLDER / photograph.file).read_bytes()
    except FileNotFoundError:
        return f"is missing: put {photograph.file} back into the folder {FOLDER}, from a backup"
    except OSError as problem:
        return f"cannot be read ({problem.strerror})"
    same = len(data) == photograph.size and hashlib.sha256(data).hexdigest() == photograph.sha256
    return "" if same else f"was changed since it was attached ({FOLDER}/{photograph.file})"


def faults_of(folder: Path, named: Sequence[tuple[int, Attached]]) -> Iterator[tuple[int, str]]:
    """(number of the entry, sentence) for each photograph that is not as it was attached, told at the first entry that
    names it."""
    seen: set[str] = set()
    for number, photograph in named:
        if photograph.file not in seen and (fault := fault_of(folder, photograph)):
            yield number, f"photograph {photograph.name} of entry {number} {fault}"
        seen.add(photograph.file)


def smaller(folder: Path, photograph: Attached, longest: int) -> tuple[bytes, tuple[int, int]]:
    """A photograph for showing, as the bytes of a JPEG with width and height: upright, its longer side at most so many
    pixels, without what the camera wrote. Raises whatever the picture library raises where it cannot be read."""
    from PIL import Image, ImageOps

    with Image.open(folder / FOLDER / photograph.file) as opened:
        picture = ImageOps.exif_transpose(opened).convert("RGB")
    picture.thumbnail((longest, longest))
    data = io.BytesIO()
    picture.save(data, "JPEG", quality=QUALITY, optimize=True)
    return data.getvalue(), picture.size


def with_more(number: int, attached: Sequence[Attached], more: Sequence[Attached]) -> list[dict[str, Any]]:
    """The photographs of entry `number` and these, as the next entry keeps them. Raises `RecordError`."""
    there = list(attached)
    for one in more:
        if any(one.sha256 == other.sha256 for other in there):
            raise RecordError(f"{one.name} is attached to entry {number} already. {NOTHING_SAVED}")
        there.append(one)
    if len(there) > MOST:
        raise RecordError(f"A check may have {MOST} photographs at most. {NOTHING_SAVED}")
    return [one.plain() for one in there]
