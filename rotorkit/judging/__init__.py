"""What judges: values with their uncertainty, limits and verdicts, and a hand figure held against them."""
