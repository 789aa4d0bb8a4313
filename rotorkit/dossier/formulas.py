"""Formulas set from their LaTeX lines: read once into a tree, from which the page (MathML) and the PDF are written.

The part of LaTeX that worked calculations are written in is small and known. What is outside it is refused with
`FormulaError`, and the line then stands as plain text: nothing is guessed at in a formula that somebody signs.

A tree is made of plain lists, so that it can be handed on as JSON:
``["row", ...]``, ``["num", "96,774.6"]``, ``["letter", "ρ"]``, ``["upright", "kg"]``, ``["op", "×"]``,
``["words", "..."]``, ``["gap", 0.17]`` (in em), ``["frac", above, below]``, ``["root", inside, index or None]``,
``["fence", "(", inside, ")"]``, ``["scripts", base, below or None, above or None]``.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import Any

from rotorkit.edges.visible import escaped as escape
from rotorkit.formula.notation import GREEK

Tree = list[Any]

TOKEN = re.compile(r"\\[A-Za-z]+|\\.|\d[\d.]*(?:\{,\}\d[\d.]*)*|[A-Za-z]|\s+|.", re.DOTALL)
OPERATORS = {
    "times": "×", "cdot": "·", "div": "÷", "pm": "±", "approx": "≈", "le": "≤", "leq": "≤", "ge": "≥", "geq": "≥",
}  # fmt: skip
FUNCTIONS = {
    *("sin", "cos", "tan", "asin", "acos", "atan", "arcsin", "arccos", "arctan", "sinh", "cosh", "tanh"),
    *("exp", "log", "ln", "max", "min"),
}
GAPS = {r"\,": 0.17, r"\:": 0.22, r"\;": 0.28, r"\!": -0.17, r"\ ": 0.25, r"\quad": 1.0}
SIGNS = {r"\%": "%", r"\_": "_", r"\&": "&", r"\#": "#", r"\$": "$", r"\{": "{", r"\}": "}"}
FENCES = {"(": "(", ")": ")", "[": "[", "]": "]", "|": "|", ".": "", r"\{": "{", r"\}": "}"}
BREAKS = ("+", "−", "×", "·", "÷")
DEEPEST = 60
LINE = 44.0
"""The width of a line on paper, in em of a formula's letters."""
LITTLE_SMALLER = 0.9
"""How far it is made smaller rather than parted from the letter that it gives."""
SMALLEST = 0.65
"""How far a formula may be made smaller to fit a line."""
MINUS = "−"


class FormulaError(ValueError):
    """A line that is not in the part of LaTeX read here."""


class _Reader:
    def __init__(self, latex: str) -> None:
        self.tokens = [token for token in TOKEN.findall(latex) if not token.isspace() or token == r"\ "]
        self.at = 0
        self.depth = 0

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        token = self.peek()
        if not token:
            raise FormulaError("the formula is incomplete")
        self.at += 1
        return token

    def expect(self, wanted: str) -> None:
        if (token := self.take()) != wanted:
            raise FormulaError(f"{wanted} wanted, got {token}")

    def row(self, ends: tuple[str, ...]) -> Tree:
        """Everything up to one of `ends`, which is left standing."""
        self.depth += 1
        if self.depth > DEEPEST:
            raise FormulaError("brackets nested too deeply")
        parts: list[Tree] = []
        while self.peek() not in ends:
            if not self.peek():
                raise FormulaError("the formula is incomplete")
            token = self.peek()
            if token in ("^", "_"):
                self._scripts(parts)
            else:
                parts.append(self.atom())
                if parts[-1] == ["op", MINUS] and (len(parts) == 1 or parts[-2][0] == "op"):
                    parts[-1] = ["upright", MINUS]  # a sign, not a subtraction
        self.depth -= 1
        return parts[0] if len(parts) == 1 else ["row", *parts]

    def _scripts(self, parts: list[Tree]) -> None:
        below = above = None
        while self.peek() in ("^", "_"):
            if self.take() == "^":
                above = self.atom()
            else:
                below = self.atom()
        if above == ["upright", "°"] and below is None:  # degrees: a sign of their own
            parts.append(above)
            return
        base = parts.pop() if parts else ["row"]
        parts.append(["scripts", base, below and _flat(below), above and _flat(above)])

    def group(self) -> Tree:
        self.expect("{")
        inside = self.row(("}",))
        self.expect("}")
        return inside

    def atom(self) -> Tree:
        token = self.peek()
        if token == "{":
            return self.group()
        self.take()
        if token[0].isdigit():
            return ["num", token.replace("{,}", ",")]
        if token.isalpha():
            return ["letter", token]
        if token.startswith("\\"):
            return self.command(token)
        if token == "-":
            return ["op", MINUS]
        if token in ("(", "["):
            closing = {"(": ")", "[": "]"}[token]
            inside = self.row((closing,))
            self.expect(closing)
            return ["fence", token, inside, closing]
        if token in "+=/<>*,;:!'|±×÷·°%.":
            return ["upright", token] if token in "°%." else ["op", token]
        raise FormulaError(f"{token} is not known in a formula")

    def command(self, token: str) -> Tree:
        name = token[1:]
        if token in GAPS:
            return ["gap", GAPS[token]]
        if token in SIGNS:
            return ["upright", SIGNS[token]]
        if name in ("frac", "tfrac", "dfrac"):
            return ["frac", self.group(), self.group()]
        if name == "sqrt":
            index = None
            if self.peek() == "[":
                self.take()
                index = self.row(("]",))
                self.expect("]")
            return ["root", self.group(), index]
        if name == "left":
            return self.fence()
        if name in ("mathrm", "operatorname", "mathit"):
            inside = _upright(self.group())
            return inside if inside != ["row"] else ["upright", ""]
        if name == "circ":
            return ["upright", "°"]
        if name in OPERATORS:
            return ["op", OPERATORS[name]]
        if name in FUNCTIONS:
            return ["upright", name]
        if name in GREEK:
            return ["upright" if name[0].isupper() or name == "infty" else "letter", GREEK[name]]
        raise FormulaError(f"{token} is not known in a formula")

    def fence(self) -> Tree:
        opening = self.take()
        inside = self.row((r"\right",))
        self.expect(r"\right")
        closing = self.take()
        if opening not in FENCES or closing not in FENCES:
            raise FormulaError(f"{opening} {closing} are no brackets")
        return ["fence", FENCES[opening], inside, FENCES[closing]]


def _flat(tree: Tree) -> Tree:
    """A tree without fractions over two lines, for an exponent: there they would be too small to read."""
    match tree:
        case ["frac", above, below]:
            under = _flat(below)
            if under[0] == "row":
                under = ["fence", "(", under, ")"]
            over = _flat(above)
            if over[0] == "row" and any(part[0] == "op" and part[1] in ("+", MINUS) for part in over[1:]):
                over = ["fence", "(", over, ")"]
            return ["row", over, ["op", "/"], under]
        case ["row", *parts]:
            return ["row", *map(_flat, parts)]
        case ["fence", opening, inside, closing]:
            return ["fence", opening, _flat(inside), closing]
        case ["root", inside, index]:
            return ["root", _flat(inside), index]
    return tree


def _upright(tree: Tree) -> Tree:
    """A tree with its letters upright and neighbours joined: the unit ``kg/m`` is one piece."""
    match tree:
        case ["letter" | "num" | "op" | "upright", str(text)]:
            return ["upright", text]
        case ["gap", _]:
            return ["row"] if tree[1] < 0 else tree
        case ["row", *parts]:
            joined: list[Tree] = []
            uprights = map(_upright, parts)
            for part in (one for up in uprights for one in (up[1:] if up[0] == "row" else [up])):
                if joined and part[0] == joined[-1][0] == "upright":
                    joined[-1] = ["upright", joined[-1][1] + part[1]]
                else:
                    joined.append(part)
            return joined[0] if len(joined) == 1 else ["row", *joined]
        case ["fence", opening, inside, closing]:
            return _upright(["row", ["op", opening], inside, ["op", closing]])
        case ["scripts", base, below, above]:
            return ["scripts", _upright(base), below and _upright(below), above and _upright(above)]
        case ["frac", above, below]:
            return ["frac", _upright(above), _upright(below)]
    return tree


WORDS = re.compile(r"\\text\{((?:[^{}])*)\}")
UNWRITTEN = {r"\backslash ": "\\", r"\%": "%", r"\_": "_", r"\&": "&", r"\#": "#", r"\$": "$"}


@functools.lru_cache(maxsize=20_000)
def _tree_of(latex: str) -> Tree:
    if whole := WORDS.fullmatch(latex.strip()):
        text = whole[1]
        for written, sign in UNWRITTEN.items():
            text = text.replace(written, sign)
        return ["words", text]
    reader = _Reader(latex)
    tree = reader.row(("",)) if reader.tokens else ["row"]
    return tree if tree[0] == "row" else ["row", tree]


def tree_of(latex: str) -> Tree:
    """The tree of a LaTeX line. Raises `FormulaError` for what is not known, however odd the text.

    >>> tree_of(r"P = \\frac{T}{2 A}")
    ['row', ['letter', 'P'], ['op', '='], ['frac', ['letter', 'T'], ['row', ['num', '2'], ['letter', 'A']]]]
    """
    if len(latex) > 5000:
        raise FormulaError("the formula is too long to be set")
    return _tree_of(latex)


def width_of(tree: Tree | None) -> float:
    """About how wide a tree is when set, in em: on the wide side."""
    match tree:
        case None:
            return 0.0
        case ["num" | "words", str(text)]:
            return 0.55 * len(text)
        case ["letter" | "upright", str(text)]:
            return 0.65 * len(text)
        case ["op", str(text)]:
            return 0.4 if text in "()[]|,/" else 1.55
        case ["gap", float(size)]:
            return max(size, 0.0)
        case ["row", *parts]:
            return sum(map(width_of, parts))
        case ["frac", above, below]:
            return max(width_of(above), width_of(below)) + 0.3
        case ["root", inside, index]:
            return 1.0 + width_of(inside) + 0.5 * width_of(index)
        case ["fence", _, inside, _]:
            return 1.9 + width_of(inside)
        case ["scripts", base, below, above]:
            return width_of(base) + 0.75 * max(width_of(below), width_of(above))
    raise ValueError(f"no such part of a formula: {tree!r:.60}")


def lines_of(tree: Tree, limit: float) -> list[Tree]:
    """A row broken before operators into lines of at most `limit` em, where that can be done."""
    if tree[0] != "row" or width_of(tree) <= limit:
        return [tree]
    lines: list[list[Tree]] = [[]]
    piece: list[Tree] = []
    for part in [*tree[1:], None]:
        if part is None or (part[0] == "op" and part[1] in (*BREAKS, "=") and piece):
            whole = width_of(["row", *lines[-1], *piece])
            # the letter that is worked out stays with what it is, where the line is then set only a little smaller
            if lines[-1] and whole > (limit if lines[-1][1:] or piece[:1] != [["op", "="]] else limit / LITTLE_SMALLER):
                lines.append([])
            lines[-1] += piece
            piece = []
        if part is not None:
            piece.append(part)
    return [["row", *line] for line in lines if line]


@dataclass(frozen=True)
class Fitted:
    """A formula in lines that fit the page. scale: how far it is made smaller, 1 where it is not."""

    lines: list[Tree]
    scale: float


def fitted(latex: str) -> Fitted | None:
    """A formula broken before operators where it is long, and made smaller where that is not enough; None where it
    cannot be set, or would become too small to read: then it stands as plain text, which breaks anywhere."""
    try:
        lines = lines_of(tree_of(latex), LINE)
    except FormulaError:
        return None
    widest = max(map(width_of, lines))
    return None if widest * SMALLEST > LINE else Fitted(lines, min(1.0, LINE / widest) if widest else 1.0)


def mathml(tree: Tree, spoken: str, scale: float = 1.0) -> str:
    """The formula as MathML. spoken: the plain text, for readers that do not know MathML."""
    size = f' style="font-size:{100 * scale:.0f}%"' if scale < 1 else ""
    return f'<math displaystyle="true" alttext="{escape(spoken)}"{size}>{_node(tree)}</math>'


def _node(tree: Tree | None) -> str:
    match tree:
        case None:
            return "<mrow></mrow>"
        case ["num", str(text)]:
            return f"<mn>{escape(text)}</mn>"
        case ["letter", str(text)]:
            return f"<mi>{escape(text)}</mi>"
        case ["upright", str(text)]:
            return (
                f'<mi mathvariant="normal">{escape(text)}</mi>' if len(text) == 1 else f"<mtext>{escape(text)}</mtext>"
            )
        case ["op", str(text)]:
            return f"<mo>{escape(text)}</mo>" if text not in "()[]|" else f'<mo stretchy="false">{escape(text)}</mo>'
        case ["words", str(text)]:
            return f"<mtext>{escape(text)}</mtext>"
        case ["gap", float(size)]:
            return f'<mspace width="{size:g}em"></mspace>' if size > 0 else ""
        case ["row", *parts]:
            return f"<mrow>{''.join(map(_node, parts))}</mrow>"
        case ["frac", above, below]:
            return f"<mfrac>{_node(above)}{_node(below)}</mfrac>"
        case ["root", inside, None]:
            return f"<msqrt>{_node(inside)}</msqrt>"
        case ["root", inside, index]:
            return f"<mroot>{_node(inside)}{_node(index)}</mroot>"
        case ["fence", str(opening), inside, str(closing)]:
            left, right = (f"<mo>{escape(sign)}</mo>" if sign else "" for sign in (opening, closing))
            return f"<mrow>{left}{_node(inside)}{right}</mrow>"
        case ["scripts", base, None, above]:
            return f"<msup>{_node(base)}{_node(above)}</msup>"
        case ["scripts", base, below, None]:
            return f"<msub>{_node(base)}{_node(below)}</msub>"
        case ["scripts", base, below, above]:
            return f"<msubsup>{_node(base)}{_node(below)}{_node(above)}</msubsup>"
    raise ValueError(f"no such part of a formula: {tree!r:.60}")
