"""The page of the cases of engine, weighing and loading: its calls say so, every case of the three tables
is on it or says why not, and it shows the tables' recomputed figures."""

import doctest
import re
from pathlib import Path

from tests.reference_table import rows

PAGE = Path(__file__).resolve().parents[2] / "docs" / "pages" / "engine_and_weight_cases.md"
TABLES = (("weighing_examples.csv", "case"), ("weighing_more.csv", "id"), ("ground_run.csv", "id"))
NOT_COVERED = {"WB7", "PP4", "MG1", "IG1", "EG1"}
NO_FIGURE = {"ballast", "CT1", "CT2", "CO1"}
"""Given as a formula, a definition or a limit: no recomputed figure stands in the table."""


def shown() -> dict[str, str]:
    """What the page shows, by case."""
    return dict(re.findall(r"\*\*([\w ,-]+)\*\*:.*?```pycon\n(.*?)```", PAGE.read_text("utf-8"), re.S))


def test_every_call_says_what_stands_there() -> None:
    failed, tried = doctest.testfile(str(PAGE), module_relative=False, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert tried > 50
    assert failed == 0


def test_every_case_is_there_or_says_why_not() -> None:
    cases = {row[key] for table, key in TABLES for row in rows(table)}
    assert cases <= set(shown()) | NOT_COVERED
    for case in NOT_COVERED:
        assert re.search(rf"^\| .*\b{case}\b", PAGE.read_text("utf-8"), re.M), case


def test_what_is_shown_is_the_table_s() -> None:
    """Each recomputed figure of a row stands among the figures shown, to a part in 2,000 (books round on the way)."""
    told = shown()
    for table, key in TABLES:
        for row in rows(table):
            if row[key] in NOT_COVERED | NO_FIGURE:
                continue
            there = [abs(float(one.replace(",", ""))) for one in re.findall(r"\d[\d,]*\.?\d*", told[row[key]])]
            wanted = [float(one) for one in re.findall(r"\d+\.?\d*|\.\d+", row["recomputed"].replace(",", ""))]
            met = [any(abs(one - figure) <= 5e-4 * one for figure in there) for one in wanted]
            assert any(met), (row[key], wanted, there)
            if row[key] not in {"CA1", "CB3", "CB6", "PP1"}:  # further figures that are the source's steps on the way
                assert all(met), (row[key], wanted, there)
