"""How long a property test looks for an example that breaks it: `make test` a short while, `make fuzz` longer."""

import os

from hypothesis import settings

FACTOR = int(os.environ.get("ROTORKIT_FUZZ") or 1)
"""How many times as many examples `make fuzz` looks at; 1 in `make test`, where they are the same every time."""
SEARCHING = FACTOR > 1


def examples(count: int) -> settings:
    """So many examples in `make test`, many more in `make fuzz`."""
    return settings(max_examples=count * FACTOR)
