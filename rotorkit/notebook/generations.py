"""What a cell made when it was run before: closed once it was run again, so that a day of Run All adds nothing.

A kernel keeps every widget until it is closed. A cell that is run again makes its form again; what it made the time
before is kept (a part of it may still stand under another cell), what it made before that is closed, if no variable of
the notebook has it. Where nobody says which cell it is that runs, nothing is closed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from rotorkit.notebook.closing import close_all

KEPT = 2
"""So many times what a cell made is kept: this time, and the time before."""
_watched: list[Generations] = []


class Generations:
    """What the cells of one shell made, run by run."""

    def __init__(self, shell: Any) -> None:
        self._shell = shell
        self._now: list[Any] = []
        self._of: dict[str, list[list[Any]]] = {}
        shell.events.register("pre_run_cell", self._begin)
        shell.events.register("post_run_cell", self._end)

    def made(self, one: Any) -> None:
        """Know of what the cell that runs now has made."""
        self._now.append(one)

    def _begin(self, _info: Any) -> None:
        self._now = []

    def _end(self, result: Any) -> None:
        cell, now = getattr(result.info, "cell_id", None), self._now
        self._now = []
        if not cell or not (now or cell in self._of):
            return
        runs = self._of.setdefault(cell, [])
        runs.append(now)
        if len(runs) <= KEPT:
            return
        old = runs.pop(0)
        kept = {id(one) for one in _reached([*self._variables(), *(run for of in self._of.values() for run in of)])}
        gone = [one for one in old if id(one) not in kept]
        now += [one for one in old if id(one) in kept]  # asked about again at the next run
        self._forget(gone)
        for one in list(_reached(gone, kept)):
            if _is_widget(one):
                close_all(one)

    def _variables(self) -> list[Any]:
        space = self._shell.user_ns
        return [value for name, value in space.items() if not name.startswith("_") and name not in ("In", "Out")]

    def _forget(self, gone: list[Any]) -> None:
        """Take it out of what IPython keeps of earlier answers, which would hold it for ever."""
        space, those = self._shell.user_ns, {id(one) for one in gone}
        answers = space.get("_oh", {})
        for number in [number for number, value in answers.items() if id(value) in those]:
            del answers[number]
            space.pop(f"_{number}", None)


def watch() -> None:
    """Watch the cells of this kernel, where this is one."""
    from IPython.core.getipython import get_ipython

    shell = get_ipython()
    if shell is not None and not any(one._shell is shell for one in _watched):
        _watched[:] = [Generations(shell)]


def made(one: Any) -> None:
    """Know of a form, or another page with widgets, that was made just now."""
    for generations in _watched:
        generations.made(one)


def _is_widget(one: Any) -> bool:
    import ipywidgets

    return isinstance(one, ipywidgets.Widget)


def _reached(roots: Iterable[Any], without: Iterable[int] = ()) -> Iterator[Any]:
    """Everything of ours that hangs on some things, and the widgets in it: each once, and nothing beyond those that are
    left out."""
    seen, waiting = set(without), list(roots)
    held = []  # so that no number is given anew meanwhile
    while waiting:
        one = waiting.pop()
        if id(one) in seen:
            continue
        seen.add(id(one))
        held.append(one)
        if isinstance(one, dict):
            waiting += list(one.values())
        elif isinstance(one, list | tuple | set | frozenset):
            waiting += list(one)
        elif _is_widget(one):
            yield one
        elif type(one).__module__.startswith("rotorkit.notebook"):
            yield one
            waiting += list(getattr(one, "__dict__", {}).values())
