"""The dossier: the whole build record as one document for an inspector, as a page of HTML and as a PDF."""

from __future__ import annotations

from rotorkit.dossier.weight_and_balance import WeightReport, write_weight_and_balance
from rotorkit.dossier.worksheet import write_worksheets
from rotorkit.dossier.writing import Dossier, DossierError, write_dossier

__all__ = [
    "Dossier",
    "DossierError",
    "WeightReport",
    "write_dossier",
    "write_weight_and_balance",
    "write_worksheets",
]
