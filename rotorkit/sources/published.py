"""The tables transcribed from published sources, for those who show or check them.

They lie in ``references/`` of a checkout; an installed copy carries them inside the package. Each starts with lines
that begin with ``#``: where the figures come from and how they reached us.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path

_HERE = Path(__file__).resolve().parent.parent
_PLACES = (_HERE / "shipped" / "references", _HERE.parent / "references")


def folder() -> Path:
    """The folder of the tables. Raises FileNotFoundError where a copy was installed without them."""
    for place in _PLACES:
        if (place / "README.md").is_file():
            return place
    raise FileNotFoundError("the published tables are not here: install rotorkit from its wheel, or use a checkout")


@lru_cache(maxsize=64)
def _lines(name: str) -> tuple[str, ...]:
    path = folder() / name
    if not path.is_file():
        raise FileNotFoundError(
            f"there is no published table {name}: {', '.join(sorted(p.name for p in folder().glob('*.csv')))}"
        )
    return tuple(path.read_text(encoding="utf-8").splitlines())


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one table in order, as text by column.

    Examples
    --------
    >>> rows("naca_tn_626_hover.csv")[0]["pitch_deg"]
    '0'
    """
    return list(csv.DictReader(line for line in _lines(name) if not line.startswith("#")))


def head(name: str) -> list[str]:
    """What the table says of itself: source, how known, conventions.

    Examples
    --------
    >>> head("naca_tn_626_hover.csv")[0][:25]
    'source: M. Knight and R. '
    """
    return [line.lstrip("# ") for line in _lines(name) if line.startswith("#")]
