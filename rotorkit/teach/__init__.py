"""Teaching: which slip explains a hand figure, exercises with numbers of their own, practice with a planted fault."""
