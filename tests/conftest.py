"""What every test shares: the same examples, the same width of terminal, whoever runs it, wherever and whenever."""

import pytest
from hypothesis import settings

from rotorkit.quantities import use_display
from tests.searching import FACTOR, SEARCHING

# No deadline for a single example: a laptop in a hangar and a shared build machine both stall now and then.
# Ordinarily the same examples every time, and none kept from an earlier run; `make fuzz` searches anew.
settings.register_profile("fixed", deadline=None, derandomize=True, database=None, print_blob=True)
settings.register_profile("fuzz", deadline=None, max_examples=100 * FACTOR, print_blob=True)
settings.load_profile("fuzz" if SEARCHING else "fixed")


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Each test begins with US units, whatever the one before it, in whatever order, left in force."""
    use_display("us")
