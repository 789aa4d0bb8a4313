"""The table of how often a slip is found: one file, written from what the parts of `slips_found.py` counted.

`python -m tests.benchmarks.slips_table` writes `slips_found.md` beside this file from ``build/slips_found/``. The docs
show that file, and nothing else states its figures.
"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
TABLE = HERE / "slips_found.md"
PARTS = HERE.parents[1] / "build" / "slips_found"
GROUPS = {
    "one": "every formula, one slip (wanted: 95 % found)",
    "two": "every formula, two slips at once (wanted: 70 % found)",
    "sheets, one": "every sheet, one slip (wanted: 95 % found)",
    "sheets, two": "every sheet, two slips at once (wanted: 70 % found)",
}
"""The rows that are asked for, first; the sorts of slip follow them."""


def keep(of: str, part: str, counted: dict[str, Any]) -> None:
    """Keep what one part counted. of: "formulas" or "sheets"; part: "2/8"; counted: as `written` takes it."""
    PARTS.mkdir(parents=True, exist_ok=True)
    (PARTS / f"{of}-{part.replace('/', '-of-')}.json").write_text(json.dumps(counted), "utf-8")


def written(parts: dict[str, list[dict[str, Any]]]) -> str:
    """The table from the parts of the formulas and of the sheets.

    Of each part: what (which, in words), rows (group: cases, found, first, said in all, sure, sure and wrong), right
    and alarms (right figures, and how many of them were called wrong), at_random, claimed.
    """
    lines = [
        "| what was done | cases | found | said first | said, on average | sure | sure and wrong |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    totals: dict[str, dict[str, Counter[str]]] = {of: {} for of in parts}
    for of, each in parts.items():
        for one in each:
            for group, counts in one["rows"].items():
                totals[of].setdefault(group, Counter()).update(counts)
    every = [(of, group) for of in totals for group in totals[of]]
    asked = [(of, group) for group in GROUPS for of, one in every if one == group]
    rest = sorted((pair for pair in every if pair[1] not in GROUPS), key=lambda pair: (pair[0], pair[1].strip()))
    for of, group in [*asked, *rest]:
        row, words = totals[of][group], GROUPS.get(group, f"{of}: {group.strip()}")
        count = row["cases"]
        lines.append(
            f"| {words} | {count:,} | {100 * row['found'] / count:.1f} % | {100 * row['first'] / count:.1f} % "
            f"| {row['said'] / count:.1f} | {row['sure']:,} | {row['wrong']} |"
        )
    for of, each in parts.items():
        right, alarms = (sum(one[name] for one in each) for name in ("right", "alarms"))
        chance, claimed = (sum(one[name] for one in each) for name in ("at_random", "claimed"))
        lines.append(f"| {of}: right figures (wanted: none called wrong) | {right:,} | {alarms} called wrong | | | | |")
        lines.append(f"| {of}: figures at random | {chance:,} | | | | {claimed} | |")
    cases, wrong = (sum(totals[of][group][what] for of, group in asked) for what in ("cases", "wrong"))
    share = f"Sure and wrong: {wrong} of {cases:,}, {100 * wrong / cases:.1f} % (wanted: 2 % at most)."
    what = "; ".join(dict.fromkeys(one["what"] for each in parts.values() for one in each))
    return "\n".join([*lines, "", f"{share} What was gone through: {what}.", ""])


if __name__ == "__main__":
    found: dict[str, list[dict[str, Any]]] = {}
    for path in sorted(PARTS.glob("*.json")):
        found.setdefault(path.name.partition("-")[0], []).append(json.loads(path.read_text("utf-8")))
    TABLE.write_text(written(found), "utf-8")
    print(f"written: {TABLE}")
