"""The pages that the code writes of itself: each sheet, each room of the library with every formula, the kinds, the tables.

Nothing of this is kept: `make docs` writes it anew each time, so that it cannot fall behind.
"""

from __future__ import annotations

import ast
import contextlib
import doctest
import importlib
import inspect
import io
import pkgutil
import re
import sys
from collections.abc import Iterator, Sequence
from functools import cache
from html import escape as escaped
from pathlib import Path
from typing import Any

from sphinx.ext.napoleon import Config, NumpyDocstring

import rotorkit
from rotorkit.dossier.formulas import fitted, mathml
from rotorkit.folder import Folder
from rotorkit.formula.core import REGISTERED, Formula
from rotorkit.formula.worked import Line, Worked
from rotorkit.pictures import draw
from rotorkit.pictures.figures import measuring
from rotorkit.quantities import KINDS, kind_of, unit_label
from rotorkit.sheets.base import Field, Sheet
from rotorkit.sheets.catalogue import SUBJECTS, sheets_in_order, subject_of
from rotorkit.sources import published

# What a user calls comes first; rooms that only the rooms above them use are left out.
FIRST = [
    "quantities",
    "judging",
    "formula",
    "aircraft",
    "sheets",
    "folder",
    "notebook",
    "record",
    "dossier",
    "pictures",
]
INSIDE = {"cli", "__main__", "edges", "moved", "sources", "lab"}
BY_FILE = 12
"""A room with more public names than this has a page for each of its files."""
SUBJECT_TITLES = {"weighing": "Weight and balance", "drive": "Drive train", "balance": "Track and balance"}
NAPOLEON = Config(napoleon_use_rtype=False, napoleon_use_param=False, napoleon_use_ivar=False)
CHECKOUT = Path(__file__).resolve().parent.parent


def rooms() -> list[str]:
    """The rooms with public names: first those that everything rests on, then the others by their letters."""
    names = {module.name for module in pkgutil.iter_modules(rotorkit.__path__)} - INSIDE
    return [*(name for name in FIRST if name in names), *sorted(names - set(FIRST))]


def public(room: str) -> dict[str, Any]:
    """What a room offers to be called: its functions, formulas and classes, by name."""
    module = importlib.import_module(f"rotorkit.{room}")
    found = {name: getattr(module, name) for name in getattr(module, "__all__", ())}
    return {
        name: thing
        for name, thing in found.items()
        if callable(thing) and kind_of(thing) is None and not isinstance(thing, (str, float)) and name != "Quantity"
    }


def first_sentence(text: str | None) -> str:
    """What a thing is: the first sentence of its text."""
    paragraph = " ".join((text or "").split("\n\n")[0].split())
    return re.split(r"(?<=[a-z0-9)\"”`°])\. (?=[A-Z`]|\w+(?:, \w+)*: )", paragraph)[0].rstrip(".")


# ---------------------------------------------------------------------------------------------- writing a page


def plain(text: str) -> str:
    """A text whose signs mean nothing to the page's language."""
    return re.sub(r"([\\*`|_])", r"\\\1", " ".join(str(text).split()))


def heading(text: str, mark: str) -> list[str]:
    return ["", text, mark * max(len(text), 3), ""]


def bulleted(items: Sequence[str]) -> list[str]:
    return [*(f"- {plain(item)}" for item in items), ""]


def numbered(items: Sequence[str]) -> list[str]:
    return [*(f"{at}. {plain(item)}" for at, item in enumerate(items, 1)), ""]


def table(titles: Sequence[str], rows: Sequence[Sequence[str]], widths: str = "auto") -> list[str]:
    """A table. The cells are written in the page's language."""
    lines = [".. list-table::", "   :header-rows: 1", f"   :widths: {widths}", ""]
    for row in [titles, *rows]:
        for at, one in enumerate(row):
            lines.append(("   * - " if at == 0 else "     - ") + (one or "\\ "))
    return [*lines, ""]


def html(text: str) -> list[str]:
    """HTML as it stands."""
    return ["", ".. raw:: html", "", *("   " + line for line in text.splitlines()), ""]


def indented(lines: Sequence[str], by: int = 3) -> list[str]:
    return [" " * by + line if line else "" for line in lines]


def math_html(line: Line) -> str:
    """A line of a calculation, set; as plain text where it is none that can be."""
    found = fitted(line.latex)
    if found is None:
        return f'<div class="line">{escaped(line.text)}</div>'
    set_lines = "".join(mathml(tree, line.text, found.scale) for tree in found.lines)
    return f'<div class="line">{set_lines}</div>'


def worked_html(worked: Worked) -> str:
    """A worked calculation, set."""
    return '<div class="worked">' + "\n".join(math_html(line) for line in worked.lines) + "</div>"


# ---------------------------------------------------------------------------------------------- the library


def as_rst(docstring: str | None) -> list[str]:
    """A docstring in NumPy's sections in the page's language."""
    text = SAID_OF_ALL.sub("", inspect.cleandoc(docstring or ""))
    text = "\n".join(
        line if line.lstrip().startswith((">>>", "...")) else line.replace("|", r"\|") for line in text.split("\n")
    )
    text = TICKED.sub(_led, text)
    return NumpyDocstring(text.splitlines(), NAPOLEON, what="function").lines()


SAID_OF_ALL = re.compile(
    r"^Raises\n-+\nQuantityError\n +an argument is not of its kind[^\n]*\n(?:    [^\n]*\n)*\n?", re.M
)
"""What every formula raises: told once, on the library's first page."""
TICKED = re.compile(r"(?<![`:\w])`([^`\n]+(?:\n[^`\n]+)?)`(?!`)")


def _led(found: re.Match[str]) -> str:
    """A name between ticks, led to where it stands; set as code where it has no place."""
    name = " ".join(found[1].split())
    path = full_names().get(name.removesuffix("()").removeprefix("@"))
    after = "\\ " if found.end() < len(found.string) and found.string[found.end()].isalnum() else ""
    return (f":py:obj:`{name} <{path}>`" if path else f"``{name}``") + after


@cache
def full_names() -> dict[str, str]:
    """Each public name that stands in one room only, with its whole path; the rooms themselves."""
    found: dict[str, set[str]] = {}
    for room in rooms():
        found.setdefault(f"rotorkit.{room}", set()).add(f"rotorkit.{room}")
        for name in public(room):
            found.setdefault(name, set()).add(f"rotorkit.{room}.{name}")
            found.setdefault(f"rotorkit.{room}.{name}", set()).add(f"rotorkit.{room}.{name}")
    return {name: next(iter(paths)) for name, paths in found.items() if len(paths) == 1}


def signature_of(thing: Any) -> str:
    """The arguments as they stand in the code."""
    inner = thing.contract.function if isinstance(thing, Formula) else thing
    try:
        text = str(inspect.signature(inner)).replace("'", "").replace("typing.", "")
    except (TypeError, ValueError):
        return "()"
    meant = vars(sys.modules[inspect.unwrap(inner).__module__])
    return CLASS_NAME.sub(lambda found: shared_names().get((found[0], id(meant.get(found[0]))), found[0]), text)


CLASS_NAME = re.compile(r"(?<![\w.])[A-Z]\w+")


@cache
def shared_names() -> dict[tuple[str, int], str]:
    """The whole path of each public thing that shares its name with another room's, by the name and the thing."""
    found: dict[tuple[str, int], str] = {}
    for room in rooms():
        for name, thing in public(room).items():
            if name not in full_names():
                found.setdefault((name, id(thing)), f"rotorkit.{room}.{name}")
    return found


class _Listening:
    """A formula that notes each call, worked."""

    def __init__(self, formula: Formula, called: list[Worked]) -> None:
        self.formula, self.called = formula, called

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        self.called.append(self.formula.worked(*args, **kwargs))
        return self.formula(*args, **kwargs)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.formula, name)


@cache
def example(formula: Formula) -> Worked | None:
    """The formula worked with the figures of its docstring's first example that calls it; None where there is none."""
    called: list[Worked] = []
    names = {**vars(importlib.import_module(formula.__module__)), formula.name: _Listening(formula, called)}
    for one in doctest.DocTestParser().get_examples(formula.__doc__ or ""):
        with contextlib.redirect_stdout(io.StringIO()):
            exec(compile(one.source, formula.name, "single"), names)
        if called:
            return called[0]
    return None


def ranges(formula: Formula) -> str:
    """The bounds that its arguments are held to."""
    return "; ".join(f"{one.name} {one.bounds}" for one in formula.contract.arguments if one.bounds)


def formula_head(formula: Formula) -> list[str]:
    """The relation set, with its source and its range."""
    lines = html(f'<div class="relation">{math_html(formula.heading.formula)}</div>')
    lines += [f"**Source:** {plain(formula.citation.sentence)}", ""]
    if bounds := ranges(formula):
        lines += [f"**Range:** {plain(bounds)}", ""]
    return lines


def formula_example(formula: Formula) -> list[str]:
    """A worked example, where the docstring gives figures."""
    worked = example(formula)
    if worked is None:
        raise SystemExit(f"{formula.name}: its docstring has no example that calls it")
    return ["", "**Worked example**", "", *html(worked_html(worked))]


def documented(name: str, thing: Any) -> list[str]:
    """One public thing."""
    signature = signature_of(thing)
    if isinstance(thing, type):
        lines = [f".. py:class:: {name}{signature if 'None' not in signature[:8] else ''}", ""]
        body = as_rst(thing.__doc__)
        for member, value in vars(thing).items():
            if member.startswith("_") or not (doc := inspect.getdoc(value)):
                continue
            if isinstance(value, property):
                body += ["", f".. py:property:: {member}", "", *indented(as_rst(doc)), ""]
            elif inspect.isfunction(value) or isinstance(value, (classmethod, staticmethod)):
                inner = getattr(value, "__func__", value)
                shown = re.sub(r"^\((self|cls)(, )?", "(", signature_of(inner))
                body += ["", f".. py:method:: {member}{shown}", "", *indented(as_rst(doc)), ""]
        return [*lines, *indented(body), ""]
    lines = [f".. py:function:: {name}{signature}", ""]
    if isinstance(thing, Formula):
        text = as_rst(thing.__doc__)
        return [*lines, *indented([*formula_head(thing), *text, *formula_example(thing)]), ""]
    return [*lines, *indented(as_rst(thing.__doc__)), ""]


def file_of(thing: Any) -> str:
    """The module that a thing stands in."""
    inner = thing.contract.function if isinstance(thing, Formula) else thing
    return str(inspect.unwrap(inner).__module__)


def room_pages(room: str) -> dict[str, list[str]]:
    """The pages of one room, by their path: one for all, or one for each of its files."""
    module = importlib.import_module(f"rotorkit.{room}")
    things = public(room)
    intro = [*heading(f"rotorkit.{room}", "="), f".. py:module:: rotorkit.{room}", "", *as_rst(module.__doc__), ""]
    by_file: dict[str, dict[str, Any]] = {}
    for name, thing in things.items():
        by_file.setdefault(file_of(thing), {})[name] = thing
    if len(things) <= BY_FILE or len(by_file) < 3:
        return {room: [*intro, *(line for name, thing in things.items() for line in documented(name, thing))]}
    pages = {}
    for path, held in by_file.items():
        short = path.removeprefix("rotorkit.").removeprefix(f"{room}.")
        within = importlib.import_module(path)
        pages[f"{room}.{short}"] = [
            *heading(short.replace("_", " ").replace(".", ", ").capitalize(), "="),
            f"Import from ``rotorkit.{room}``.",
            "",
            *(as_rst(within.__doc__) if path != f"rotorkit.{room}" else []),
            "",
            f".. py:currentmodule:: rotorkit.{room}",
            "",
            *(line for name, thing in held.items() for line in documented(name, thing)),
        ]
    rows = [
        [
            f":doc:`{key.split('.', 1)[1].replace('_', ' ').replace('.', ', ').capitalize()} <{key}>`",
            names(by_file, key),
        ]
        for key in pages
    ]
    toc = [".. toctree::", "   :hidden:", "", *(f"   {key}" for key in pages), ""]
    return {room: [*intro, *table(["page", "what is there"], rows, "20 80"), *toc], **pages}


def names(by_file: dict[str, dict[str, Any]], key: str) -> str:
    """The names on a page, each leading to its place."""
    room, short = key.split(".", 1)
    held = next(
        found for path, found in by_file.items() if path.removeprefix("rotorkit.").removeprefix(f"{room}.") == short
    )
    return ", ".join(f":py:obj:`{name} <rotorkit.{room}.{name}>`" for name in held)


def formulas_page() -> list[str]:
    """Every formula by its title, with the relation and its source."""
    for room in rooms():
        public(room)
    places: dict[int, tuple[str, str]] = {}
    for room in rooms():
        for name, thing in public(room).items():
            if isinstance(thing, Formula):
                places.setdefault(id(thing), (room, name))
    rows = []
    for one in sorted(REGISTERED, key=lambda formula: formula.title.lower()):
        if id(one) not in places:
            continue
        room, name = places[id(one)]
        rows.append(
            f'<tr><td><a href="library/{anchor(room, name)}">{escaped(one.title)}</a></td>'
            f"<td>{math_html(one.heading.formula)}</td><td>{escaped(one.citation.sentence)}</td></tr>"
        )
    text = (
        '<table class="docutils formulas"><thead><tr><th>formula</th><th>relation</th><th>source</th></tr></thead>'
        f"<tbody>{chr(10).join(rows)}</tbody></table>"
    )
    return [
        *heading("Every formula and its source", "="),
        f"{len(rows)} relations, each written once in the code: the name leads to its arguments with unit, datum and sign, its range, "
        "and a worked example. Your browser's search on this page (Ctrl F) finds a formula by its name, letter or source.",
        "",
        *html(text),
    ]


@cache
def pages_of_rooms() -> dict[str, tuple[str, ...]]:
    """The pages of the library, by path."""
    return {path: tuple(lines) for room in rooms() if public(room) for path, lines in room_pages(room).items()}


@cache
def page_of_names() -> dict[tuple[str, str], str]:
    """The page on which each name of a room stands."""
    found = {}
    for path, lines in pages_of_rooms().items():
        room = path.split(".")[0]
        for line in lines:
            if hit := re.match(r"\.\. py:(?:function|class):: (\w+)", line):
                found[room, hit[1]] = path
    return found


def anchor(room: str, name: str) -> str:
    """Where a name stands, from the folder of the library."""
    return f"{page_of_names()[room, name]}.html#rotorkit.{room}.{name}"


# ---------------------------------------------------------------------------------------------- the sheets


def wanted(one: Field) -> str:
    """What a field holds, in words."""
    if one.entry is not None:
        kind = one.entry.wanted
        units = dict.fromkeys(unit_label(one.entry.shown_unit(system), kind) for system in ("us", "metric"))
        shown = " or ".join(unit for unit in units if unit)
        return ", ".join(part for part in (kind.bare_name, shown, "with repeats" if one.entry.repeats else "") if part)
    if one.choice is not None and one.choice.options:
        return f"one of: {'; '.join(one.choice.options)}"
    if one.choice is not None:
        return f"one of the aircraft file's {one.choice.of}"
    return "rows" if one.row else "text"


def field_rows(fields: Sequence[Field], within: str = "") -> Iterator[list[str]]:
    for one in fields:
        title = plain(f"{within}{one.title}")
        yield [title, f"``{one.name}``", plain(wanted(one)), plain(one.how)]
        if one.row is not None:
            yield from field_rows(one.row.fields(), f"{one.title}: ")


def sheet_page(sheet: type[Sheet], folder: Folder) -> list[str]:
    """What a sheet says of itself, and its checks on the demo aircraft."""
    about = sheet.about
    lines = [
        f".. _sheet-{sheet.name}:",
        *heading(about.title, "="),
        plain(about.settles),
        "",
        f"**When:** {plain(about.when)}",
        "",
        f'In the notebook ``{sheet.name}.ipynb``; in ``readings.toml``: ``sheet = "{sheet.name}"``.',
        "",
    ]
    lines += [".. caution::", "", *indented(bulleted(about.cautions))]
    if figure := measuring(sheet.name):
        lines += html(f'<div class="figure">{figure}</div>')
    lines += [*heading("Tools", "-"), *bulleted(about.tools)]
    lines += [*heading("Procedure", "-"), *numbered(about.procedure)]
    lines += [*heading("Signs", "-"), plain(about.sign_convention), ""]
    lines += [*heading("What it does not cover", "-"), *bulleted(about.not_covered)]
    lines += [
        *heading("Readings", "-"),
        *table(["reading", "name", "what is wanted", "how"], [*field_rows(sheet.fields())]),
    ]
    if sheet.limits:
        lines += [*heading("Limits of its own", "-"), f"In the aircraft file under ``[limits.{sheet.name}]``:", ""]
        lines += table(["key", "what it is"], [[f"``{key}``", plain(one.comment)] for key, one in sheet.limits.items()])
    if sheet.uses:
        lines += [*heading("Figures of the aircraft", "-"), "Without these it cannot be worked:", ""]
        lines += [", ".join(f"``{place}``" for place in sheet.uses), ""]
    if sheet.needed:
        lines += heading("Needed before", "-")
        lines += bulleted([f"{one.before}: {one.why}" for one in sheet.needed])
    lines += demo_checks(sheet, folder)
    return lines


def demo_checks(sheet: type[Sheet], folder: Folder) -> list[str]:
    """The demo's first check of a sheet, as it comes out: invented readings of an invented aircraft."""
    check = folder.first(sheet.name)
    if check is None:
        return []
    outcome = check.outcome(folder.aircraft)
    rows = [[plain(cell) for cell in one.row()] for one in outcome.findings]
    lines = heading(f"On the demo aircraft: {check.title}", "-")
    lines += ["The aircraft and its readings are invented.", ""]
    lines += [f"**{outcome.word.capitalize()}.** {plain(outcome.to_do)}", "", *bulleted(outcome.lead)]
    lines += table(["figure", "value (k = 2)", "limit", "verdict"], rows)
    if outcome.pictures:
        lines += html(f'<div class="figure">{draw(outcome.pictures[0])}</div>')
    steps = outcome.steps[:MOST_STEPS]
    told = "The worked calculation:" if len(steps) == len(outcome.steps) else "How the worked calculation begins:"
    lines += [told, ""]
    return lines + html("\n".join(f"<p><b>{escaped(step.title)}</b></p>{worked_html(step)}" for step in steps))


MOST_STEPS = 6
"""How many steps of a demo's calculation a page shows."""


def sheets_page() -> list[str]:
    """Every sheet by subject."""
    lines = [
        *heading("The checks", "="),
        "What rotorkit checks, by subject. Each page says what the check settles, tools, ",
    ]
    lines[-1] += "procedure, signs, cautions, what it does not cover, and how it comes out on the demo aircraft."
    lines += [""]
    for subject in SUBJECTS:
        held = [sheet for sheet in sheets_in_order() if subject_of(sheet) == subject]
        if not held:
            continue
        lines += heading(SUBJECT_TITLES.get(subject, subject.capitalize()), "-")
        lines += table(
            ["check", "what it settles"],
            [[f":doc:`{plain(one.about.title)} <{one.name}>`", plain(one.about.settles)] for one in held],
            "25 75",
        )
    return [*lines, ".. toctree::", "   :hidden:", "", *(f"   {sheet.name}" for sheet in sheets_in_order()), ""]


# ---------------------------------------------------------------------------------------------- tables


def kinds_page() -> list[str]:
    rows = []
    for name, annotation in KINDS.items():
        kind = kind_of(annotation)
        assert kind is not None
        us, metric = (unit_label(kind.shown(system), kind) or "none" for system in ("us", "metric"))
        rows.append([f"``{name}``", kind.bare_name, us, metric, f"``{kind.example}``"])
    lines = [
        *heading("Kinds and their units", "="),
        "A kind is more than a dimension: a rotation rate is no frequency, a ",
    ]
    lines[-1] += "torque no energy, a gauge pressure no absolute one."
    return [*lines, "", *table(["kind", "what it is", "shown (US)", "shown (metric)", "typed, for example"], rows)]


def tables_page() -> list[str]:
    """The published tables that the tests hold the library to."""
    tests = {path: path.read_text("utf-8") for path in sorted((CHECKOUT / "tests").rglob("test_*.py"))}
    rows = []
    for path in sorted(published.folder().glob("*.csv")):
        head = published.head(path.name)
        named = [one.name.removeprefix("test_").removesuffix(".py") for one, text in tests.items() if path.name in text]
        said = re.sub(r"^(source|known): ", "", head[0]) if head else ""
        rows.append(
            [f"``{path.name}``", plain(said), str(len(published.rows(path.name))), ", ".join(f"``{n}``" for n in named)]
        )
    first = [
        f"{first_sentence(ast.get_docstring(ast.parse(text)))}."
        for path, text in tests.items()
        if path.parent.name == "published"
    ]
    return [
        *heading("Published tables and the tests on them", "="),
        f"{len(rows)} tables of published figures with {sum(int(row[2]) for row in rows):,} rows. Each file begins with its provenance: where "
        "the figures come from and how they reached us. A test takes its tolerance from the digits printed there, no wider.",
        "",
        *table(["table", "what it holds", "rows", "tests that read it"], rows, "20 45 7 28"),
        *heading("What the tests on published figures say of themselves", "-"),
        *bulleted(first),
    ]


def held_out_text() -> str:
    """How far the blade-element hover lay from published measurements, worked anew."""
    from rotorkit.rotor.blade_element.held_out import held_out
    from rotorkit.rotor.blade_element.trust import STATED

    lines = [
        "## Blade element against measured rotors",
        "",
        "Nothing was adjusted to any rotor. The figure is a part of what the theory says (twice the standard uncertainty, k = 2).",
        "",
        "| of | stated, k = 2 | points | covered | by report: root mean square, points |",
        "| --- | --- | --- | --- | --- |",
    ]
    for of, standard in STATED.items():
        found = held_out(of)
        count, outside = found.count(), len(found.outside(standard))
        each = "; ".join(f"{name}: {found.root_mean_square(name):.1%}, {found.count(name)}" for name in found.points)
        lines.append(f"| {of} | {2 * standard:.0%} | {count} | {count - outside} | {each} |")
    return "\n".join(lines) + "\n"


def moved_text() -> str:
    """The modules that moved."""
    from rotorkit.moved import MOVED

    rows = [f"| `{earlier}` | `{now}` |" for earlier, now in sorted(MOVED.items())]
    return "\n".join(["| earlier | now |", "| --- | --- |", *rows]) + "\n"


def write(into: Path) -> list[str]:
    """Write every page; their paths come back."""
    folder = Folder(CHECKOUT / "rotorkit" / "demo")
    pages = {f"library/{path}": list(lines) for path, lines in pages_of_rooms().items()}
    tops = [room for room in rooms() if f"library/{room}" in pages]
    rows = [
        [f":doc:`rotorkit.{room} <{room}>`", f"{first_sentence(importlib.import_module(f'rotorkit.{room}').__doc__)}."]
        for room in tops
    ]
    pages["library/index"] = [
        *heading("The library, room by room", "="),
        "Every public function with its source, arguments, units, signs, range and an example that is run as a test. Whatever is "
        "called with an argument that is not of its kind, or not credible, raises ``QuantityError``, which names every bad one.",
        "",
        *table(["room", "what is there"], rows, "25 75"),
        ".. toctree::",
        "   :hidden:",
        "",
        *(f"   {room}" for room in tops),
        "",
    ]
    pages["formulas"] = formulas_page()
    pages["kinds"] = kinds_page()
    pages["tables"] = tables_page()
    pages["checks/index"] = sheets_page()
    for sheet in sheets_in_order():
        pages[f"checks/{sheet.name}"] = sheet_page(sheet, folder)
    for path, lines in pages.items():
        file = into / f"{path}.rst"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    (into / "generated").mkdir(exist_ok=True)
    slips = (CHECKOUT / "tests" / "benchmarks" / "slips_found.md").read_text("utf-8")
    for name, text in (("held_out", held_out_text()), ("moved", moved_text()), ("slips_found", slips)):
        (into / "generated" / f"{name}.md").write_text(text, encoding="utf-8")
    return [*pages]
