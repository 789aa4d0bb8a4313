"""The library's clock stands still in the tests, at one day for all of them, whoever runs them and whenever: in this
process, and by `IMPORT_PATH` in every one that is started from it.

Imported by `tests/conftest.py`; for the notebooks, which that file does not reach, it is named to pytest as a plugin.
"""

import os
from pathlib import Path

from tests.fixed_clock.sitecustomize import NOW

__all__ = ["IMPORT_PATH", "NOW"]

HERE = Path(__file__).resolve().parent
IMPORT_PATH = os.pathsep.join([str(HERE), str(HERE.parents[1])])
"""What a process started by a test has for PYTHONPATH: the stopped clock, and the checkout."""

_others = os.environ.get("PYTHONPATH", "").split(os.pathsep)
os.environ["PYTHONPATH"] = os.pathsep.join([str(HERE), *(one for one in _others if one and one != str(HERE))])
