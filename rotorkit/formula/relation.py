"""What the parts of the formula room know of a formula: they are used by it, so they do not import it."""

from __future__ import annotations

from typing import Any, Protocol

from rotorkit.formula.contract import Contract
from rotorkit.quantities import Kind
from rotorkit.sources import Citation


class Relation(Protocol):
    """A formula, as what works it out, turns it round and checks its dimensions sees it."""

    name: str
    citation: Citation
    contract: Contract

    @property
    def title(self) -> str: ...

    @property
    def letters(self) -> Any: ...

    @property
    def result_letter(self) -> str: ...

    @property
    def shown(self) -> Any: ...

    @property
    def kind(self) -> Kind: ...

    @property
    def traced(self) -> Any: ...

    @property
    def heading(self) -> Any: ...

    @property
    def si(self) -> Any: ...
