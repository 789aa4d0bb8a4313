"""`python -m rotorkit`: the same as the `rotorkit` command, also where that is not on the path."""

import os
import sys


def _not_from_here() -> None:
    """Take the present folder off the import path, where Python has put it first for ``-m``.

    A working folder may come from anybody: a ``typer.py`` in it must not be run in the place of the library's. Our own
    modules are found all the same, by the package that is loaded already.
    """
    here = os.path.realpath(os.getcwd())
    if not getattr(sys.flags, "safe_path", False) and sys.path and os.path.realpath(sys.path[0] or ".") == here:
        del sys.path[0]
    sys.path[:] = [place for place in sys.path if place]  # an empty one stands for the present folder too


if __name__ == "__main__":
    _not_from_here()

    from rotorkit.cli import app

    app(prog_name="rotorkit")
