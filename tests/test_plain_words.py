"""The words that a builder reads: the project's own in one sense each, and none that a hangar would not use."""

import ast
import re
from pathlib import Path

import rotorkit
from rotorkit.sheets.catalogue import sheet_names, sheet_type

ROOT = Path(rotorkit.__file__).parent
READ_BY_A_BUILDER = ("aircraft", "cli", "notebook", "sheets", "sources")
NOT_SAID = re.compile(
    r"\banew\b|\bnought\b|what stands after|\bparted by\b|part them by|was held against|"
    r"\bis mended\b|must bear\b|beyond doubt|for each degree|radians a second|not looked into",
    re.IGNORECASE,
)
"""Each has a plainer word: again, zero, the ±, separated by, checked against, repaired, must have, certainly, per."""
OF_THE_GLOSSARY = (
    "check",
    "sheet",
    "job",
    "reading",
    "figure",
    "limit",
    "verdict",
    "to do",
    "± (k = 2)",
    "uncertainty",
    "estimate",
    "record",
    "entry",
    "draft",
    "milestone",
    "status board",
    "low stop, high stop",
    "full left, full right",
)


def sentences(file: Path) -> list[tuple[int, str]]:
    """The text in a module but for its docstrings, with the lines."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    apart = {id(one.value) for one in ast.walk(tree) if isinstance(one, ast.Expr)}
    return [
        (one.lineno, one.value)
        for one in ast.walk(tree)
        if isinstance(one, ast.Constant) and isinstance(one.value, str) and id(one) not in apart
    ]


def test_no_sentence_has_a_word_with_a_plainer_one() -> None:
    files = [file for part in READ_BY_A_BUILDER for file in sorted((ROOT / part).rglob("*.py"))]
    assert len(files) > 100
    found = [
        f"{file.relative_to(ROOT)}:{line}: {text}"
        for file in files
        for line, text in sentences(file)
        if NOT_SAID.search(text)
    ]
    assert not found, "\n".join(found)


def test_the_glossary_has_the_projects_own_words() -> None:
    glossary = (ROOT.parent / "docs" / "pages" / "glossary.md").read_text(encoding="utf-8")
    for name in OF_THE_GLOSSARY:
        assert re.search(rf"^{re.escape(name)}$", glossary, re.MULTILINE), name


def test_no_sheet_names_a_function_to_a_builder() -> None:
    for name in sheet_names():
        about = sheet_type(name).about
        for text in (*about.procedure, *about.not_covered, *about.tools, about.settles, about.title):
            assert not re.search(r"`|\brotorkit\.", text), (name, text)
