"""`python -m rotorkit`: the same as the `rotorkit` command, also where that is not on the path."""

from rotorkit.cli import app

if __name__ == "__main__":
    app(prog_name="rotorkit")
