"""Typesets one document in a process of its own: `python -I typeset_alone.py FOLDER SECONDS STANDARDS`.

FOLDER holds main.typ and data.json, and gets made.pdf; SECONDS is the moment that stands in it, in seconds since 1970;
STANDARDS are those that it has to keep ("ua-1"), "" for a further part of a document, which begins with no title. It is
run by its file and imports nothing of rotorkit: it starts quickly, and its memory is the typesetter's alone. What went
wrong is on the error stream; exit code 71 says that there was no memory.
"""

from __future__ import annotations

import json
import re
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

OUT_OF_MEMORY = 71
MOST_MISSING = 300
"""So many letters without a font are found one by one; a text with more of them has all its unusual letters named."""
TRY_LETTERS = b"""#set text(lang: "en", font: ("Libertinus Serif", "DejaVu Sans"), fallback: true)
#set document(title: "letters")
#for letter in json("letters.json") { par(letter); par(raw(letter)) }
"""
WITH_A_FONT = frozenset("\u200b–—‘’“”„…•′″←↑→↓−∙√∞≈≠≤≥ΔΣΩαβγδεζηθκλμνξπρστφχψω")
"""Letters that the typesetter's own fonts have: they need not be asked for, and dossiers hold few others."""
CODE = re.compile(r"\\u\{([0-9a-f]+)\}")
"""How the typesetter writes a letter that it cannot show."""


def without_a_font(typst: Any, text: str) -> list[str]:
    """The letters of a text that no font of this computer has: an accessible PDF must not hold an empty box for one.

    The typesetter names the first that it misses, so it is asked again without that one, with nothing but the letters.
    """
    letters = sorted({c for c in set(text) if ord(c) > 0x24F and not c.isspace() and not 0xD800 <= ord(c) <= 0xDFFF})
    if WITH_A_FONT.issuperset(letters):
        return []
    missing: list[str] = []
    while letters and len(missing) < MOST_MISSING:
        try:
            typst.compile(
                {"main.typ": TRY_LETTERS, "letters.json": json.dumps(letters).encode()},
                format="pdf",
                pdf_standards=["ua-1"],
            )
            return missing
        except Exception as problem:
            found = re.search(r'the text `"(.+?)"`', str(problem))
            told = CODE.sub(lambda code: chr(int(code[1], 16)), found[1]) if found else ""
            named_there = [c for c in letters if c in told]
            if not named_there:
                return missing
            missing += named_there
            letters = [c for c in letters if c not in named_there]
    return missing + letters


def main(place: str, seconds: str, standards: str) -> None:
    """Typeset what lies in a folder."""
    import typst

    folder = Path(place)
    text = (folder / "data.json").read_text(encoding="utf-8", errors="replace")
    missing = without_a_font(typst, text)
    for character in missing:
        text = text.replace(character, f"[U+{ord(character):04X}]")
    if missing:
        (folder / "data.json").write_text(text, encoding="utf-8")
    del text
    wanted: Any = standards.split()
    typst.compile(
        str(folder / "main.typ"),
        output=str(folder / "made.pdf"),
        root=str(folder),
        format="pdf",
        pdf_standards=wanted,
        timestamp=datetime.fromtimestamp(int(seconds), UTC),
    )


if __name__ == "__main__":
    try:
        main(*sys.argv[1:])
    except MemoryError:
        sys.exit(OUT_OF_MEMORY)
    except Exception as problem:  # the library's own errors come in several types
        sys.exit(str(problem))
