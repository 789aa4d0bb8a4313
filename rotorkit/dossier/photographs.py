"""The photographs of a check, as a dossier shows them: made smaller, turned upright, without what the camera wrote."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path

from rotorkit.dossier.blocks import Block, Box, Figure, Heading, Paragraph, Together
from rotorkit.edges.visible import escaped
from rotorkit.record import Attached, SavedEntry
from rotorkit.record.attached import FOLDER, fault_of, smaller, why_not

LONGEST_SIDE = 1100
"""Pixels of the longer side: 200 to the inch on a page that is 5.5 in of picture."""


def photograph_blocks(folder: Path, entry: SavedEntry) -> Iterator[Block]:
    """The photographs of an entry under a heading of their own; nothing where there are none. folder: the record's."""
    photographs = entry.photographs
    if not photographs:
        return
    yield Heading(3, f"Photographs: {entry.title}")
    for photograph in photographs:
        if fault := fault_of(folder, photograph):
            yield Box("warning", f"{photograph.name} is not shown", [Paragraph(f"This photograph {fault}.")])
            continue
        try:
            figure = _shown(folder, photograph)
        except Exception as problem:
            if isinstance(problem, MemoryError):
                raise
            said = f"It {why_not((folder / FOLDER / photograph.file).read_bytes(), problem)}."
            yield Box("warning", f"{photograph.name} is not shown", [Paragraph(said)])
            continue
        words = f"{photograph.name}, attached to entry {entry.number}, SHA-256 {photograph.sha256[:16]}…"
        yield Together([figure, Paragraph(words, "small")])


def _shown(folder: Path, photograph: Attached) -> Figure:
    data, (wide, high) = smaller(folder, photograph, LONGEST_SIDE)
    inside = base64.b64encode(data).decode("ascii")
    title = f"Photograph {photograph.name}"
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
        f'role="img" aria-label="{escaped(title)}">'
        f"<title>{escaped(title)}</title><desc>{escaped(title)}</desc>"
        f'<image width="{wide}" height="{high}" href="data:image/jpeg;base64,{inside}"/></svg>'
    )
    return Figure(svg, title, title)
