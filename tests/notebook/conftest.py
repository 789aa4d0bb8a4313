"""A form is loaded with the demo's readings, whatever folder the tests run in."""

from collections.abc import Callable

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.notebook import Form, open_form


@pytest.fixture
def form() -> Callable[..., Form]:
    def made(sheet: str, check: str | None = None) -> Form:
        return open_form(sheet, check, Folder(demo_folder()))

    return made
