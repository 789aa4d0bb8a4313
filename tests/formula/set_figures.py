"""Reads the figures of a worked calculation's LaTeX back, apart from the code that writes them."""

import math
from typing import Any

from rotorkit.dossier.formulas import tree_of

SIGNS = {"+": "+", "−": "-", "×": "*", "·": "*", "÷": "/", "/": "/"}


def figure_of(latex: str) -> float:
    """What a line of figures comes to. The line's tree, as the printed page sets it, is worked out node by node."""
    return float(eval(_python(tree_of(latex)), {"__builtins__": {}, "abs": abs}, vars(math)))


def _python(tree: list[Any] | None) -> str:
    match tree:
        case ["num", text]:
            return str(text).replace(",", "")
        case ["op", sign]:
            return SIGNS[sign]
        case ["upright", "−"]:
            return "-"
        case ["letter", "π"]:
            return "pi"
        case ["upright", name]:
            return {"ln": "log"}.get(name, name.replace("arc", "a"))
        case ["frac", above, below]:
            return f"(({_python(above)})/({_python(below)}))"
        case ["root", inside, None]:
            return f"sqrt({_python(inside)})"
        case ["fence", "|", inside, _]:
            return f"abs({_python(inside)})"
        case ["fence", _, inside, _]:
            return f"({_python(inside)})"
        case ["scripts", base, None, above]:
            return f"({_python(base)})**({_python(above)})"
        case ["row", *parts]:
            return "".join(_python(part) for part in parts)
    raise AssertionError(f"no figure in {tree}")
