"""What judges: values with their uncertainty, limits and verdicts, and a hand figure checked against them."""

from rotorkit.judging.agreement import Agreement, compare_by_hand
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS, Limit, Verdict, worst
from rotorkit.judging.measured import BudgetRow, Measured, largest_less_smallest, mean_of, measured

__all__ = [
    "IN_LIMITS",
    "NO_LIMIT",
    "OUT_OF_LIMITS",
    "TOO_CLOSE",
    "UNDONE",
    "WORDS",
    "Agreement",
    "BudgetRow",
    "Limit",
    "Measured",
    "Verdict",
    "compare_by_hand",
    "largest_less_smallest",
    "mean_of",
    "measured",
    "worst",
]
