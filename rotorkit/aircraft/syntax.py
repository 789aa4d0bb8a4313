"""What is really wrong with a text that is no TOML, in the words of who wrote it: the line, and what to write there."""

from __future__ import annotations

import re

_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_CURLY = "“”„‟«»‚‘’"
_QUOTED = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'")
_KEY = re.compile(r"""^\s*(?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*\s*=""")
_EXAMPLE = 'radius = "11 ft 8 in"'


def syntax_fault(text: str, problem: str) -> str:
    """A sentence on the first fault of a text that the reader of the format refuses.

    Arguments: text, the whole file; problem, what the reader says of it. Begins with "line N: " where there is one.
    """
    lines = text.replace("\r\n", "\n").split("\n")
    place = _PLACE.search(problem)
    number = int(place[1]) if place else _last_written(lines)
    line = lines[number - 1] if number <= len(lines) else ""
    return f"line {number}: {_fault(lines, number, line, problem)}"


def _last_written(lines: list[str]) -> int:
    return next((number for number in range(len(lines), 0, -1) if lines[number - 1].strip()), 1)


def _fault(lines: list[str], number: int, line: str, problem: str) -> str:
    bare = _QUOTED.sub('""', line).partition("#")[0].strip()
    if problem.startswith(("Cannot overwrite", "Cannot declare", "Cannot mutate")):
        return _twice(lines, number, line)
    if any(ord(sign) < 32 and sign != "\t" for sign in line):
        return "there is an invisible character here: type the line again"
    if any(sign in bare for sign in _CURLY):
        return f"a word processor's curly quotation marks do not work here: use straight ones, {_EXAMPLE}"
    if problem.startswith("Unterminated string") or bare.count('"') % 2 or bare.count("'") % 2:
        opened = _opened_at(lines) if "end of document" in problem else number
        where = "" if opened == number else f" (it begins in line {opened})"
        return f"a quotation mark is missing{where}: text that starts with one must end with one, on the same line"
    if problem.startswith(("Unclosed array", "Unclosed inline table", "Invalid initial character")):
        return _unclosed(lines, number, bare, problem)
    if bare.startswith("["):
        return f"a section's name goes in brackets, with nothing after them: [main_rotor]; got {line.strip()}"
    if not _KEY.match(bare):
        if bare.startswith("="):
            return f"the key before = is missing: write for example {_EXAMPLE}"
        if "=" in bare:
            word = bare.partition("=")[0].strip()
            return f'a key is one word, with _ in place of blanks, such as rated_power = "138 hp"; got {word}'
        return f"there is no = between the key and what it is: write for example {_EXAMPLE}"
    value = bare.partition("=")[2].strip()
    if not value:
        return f'there is nothing after =: write "" for what is still to come, or for example {_EXAMPLE}'
    if value.startswith('""'):
        return (
            "there is something after the closing quotation mark: put all of it inside the quotes, and start a note "
            f"with #; got {line.strip()}"
        )
    key = bare.partition("=")[0].strip()
    return f'text and quantities go in quotes: write {key} = "{value}"'


def _twice(lines: list[str], number: int, line: str) -> str:
    """The same key, or the same section, for the second time."""
    named = line.strip()
    if not named.startswith("["):
        named = named.partition("=")[0].strip()
    first = 0
    for other in range(number - 1, 0, -1):
        said = lines[other - 1].strip()
        if said == named or said.partition("=")[0].strip() == named:
            first = other
            break
        if said.startswith("[") and not named.startswith("["):
            break  # a key belongs to its section
    where = f", first in line {first}" if first else ""
    return f"{named} is there twice{where}: a key or section may appear only once; keep one of them"


def _opened_at(lines: list[str]) -> int:
    """The line of the first quotation mark that is not closed in its line."""
    for number, line in enumerate(lines, 1):
        left = _QUOTED.sub("", line).partition("#")[0]
        if '"' in left or "'" in left:
            return number
    return _last_written(lines)


def _unclosed(lines: list[str], number: int, bare: str, problem: str) -> str:
    """A list or a table in one line that does not end, or whose parts have no comma between them."""
    table = not problem.startswith("Unclosed array")
    open_, shut = ("{", "}") if table else ("[", "]")
    what = 'a table such as { low = "30 lb", source = "7-12" }' if table else 'a list such as ["white", "yellow"]'
    if not table and (
        "end of document" in problem or (_KEY.match(bare) and not bare.partition("=")[2].strip().startswith("["))
    ):
        opened = next((n for n in range(number, 0, -1) if lines[n - 1].count("[") > lines[n - 1].count("]")), number)
        begins = "" if opened == number else f" (it begins in line {opened})"
        return f"the closing ] is missing{begins}: {what}"
    if bare.count(open_) <= bare.count(shut):
        return f"a comma is missing between two parts of {what}"
    return f"{what} must be on one line, with its closing {shut}" if table else f"the closing ] is missing: {what}"
