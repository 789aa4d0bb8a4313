"""What importing the package gives, costs and leaves alone."""

import subprocess
import sys
from pathlib import Path

import pytest

import rotorkit as rk

ROOT = Path(__file__).resolve().parent.parent
PUBLIC = [
    "Limit", "Measured", "Quantity", "QuantityError", "Reading", "Verdict", "__version__", "assert_quantity",
    "largest_less_smallest", "mean_of", "read", "read_repeats", "say", "use_display",
]  # fmt: skip
KINDS = [
    "Acceleration", "Angle", "Area", "Density", "DiskLoading", "DynamicViscosity", "Energy", "Force",
    "ForcePerTemperature", "Frequency", "GaugePressure", "LapseRate", "Length", "LinearDensity", "Mass", "MassFlow",
    "MomentOfInertia", "Power", "PowerLoading", "Pressure", "Ratio", "RotationRate", "SecondMomentOfArea",
    "SpecificFuelConsumption", "SpecificGasConstant", "SpecificHeat", "Speed", "Stiffness", "Stress", "Temperature",
    "TemperatureDifference", "ThermalExpansion", "Time", "Torque", "Volume", "VolumeFlow",
]  # fmt: skip


def run(code: str) -> str:
    done = subprocess.run([sys.executable, "-W", "error", "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_the_public_names_are_these() -> None:
    assert sorted(rk.__all__) == PUBLIC
    for name in [*PUBLIC, *KINDS]:
        assert getattr(rk, name) is not None
        assert name in dir(rk)


def test_completion_offers_what_is_public_and_nothing_else() -> None:
    from docs import generate
    from rotorkit.quantities import KINDS

    rooms = {room for room in generate.rooms() if generate.public(room)}
    assert set(dir(rk)) == {*rk.__all__, *KINDS, *rooms}
    assert rk.rotor.tip_speed is __import__("rotorkit.rotor").rotor.tip_speed


def test_another_name_is_an_attribute_error() -> None:
    for name in ("nothing", "Nothing"):
        with pytest.raises(AttributeError, match=f"'rotorkit' has no attribute '{name}'"):
            getattr(rk, name)


def test_used_straight_from_the_package() -> None:
    assert rk.say(rk.read("12 ft 6 in", rk.Length), "in") == "150.0 in"
    assert isinstance(rk.read("1 ft", rk.Length).value, rk.Quantity)


def test_importing_it_imports_next_to_nothing() -> None:
    heavy = "sympy scipy matplotlib pydantic pint numpy IPython ipywidgets nbformat jupyterlab typer"
    assert run(f"import sys, rotorkit; print(*[m for m in {heavy.split()} if m in sys.modules])") == ""


def test_reading_and_saying_import_no_symbols_and_no_plots() -> None:
    code = (
        "import pint, sys; by_pint = set(sys.modules); import rotorkit as rk; rk.say(rk.read('1 ± 1 ft', rk.Length));"
        "import rotorkit.formula, rotorkit.rotor, rotorkit.atmosphere, rotorkit.judging.limits;"
        "from rotorkit.rotor.hover import ideal_hover_power as power;"
        "power.worked('1300 ± 10 lbf', '1.2 kg/m^3', '450 ft^2').text;"
        "power.solve_for('disk_area', result='60 hp', thrust='1300 lbf', density='1.2 kg/m^3');"
        "print(*{'sympy', 'scipy', 'matplotlib', 'pydantic', 'IPython'} & (set(sys.modules) - by_pint))"
    )
    assert run(code) == ""


def test_another_program_s_registry_and_warnings_are_left_alone() -> None:
    code = """
import warnings, pint, numpy
before, filters = pint.get_application_registry().get(), list(warnings.filters)
printing, errors = numpy.get_printoptions(), numpy.geterr()
import rotorkit as rk, rotorkit.rotor, rotorkit.atmosphere
rk.read("1 ft", rk.Length), rk.say(rk.Quantity(1, "ft"))
assert pint.get_application_registry().get() is before
assert numpy.geterr() == errors and numpy.get_printoptions() == printing
assert warnings.filters == filters
assert type(before("1 ft")) is not rk.Quantity
assert rk.Quantity(1, "ft")._REGISTRY is not before
print("as it was")
"""
    assert run(code) == "as it was"


def test_quantities_of_the_application_registry_are_taken() -> None:
    code = (
        "import pint; q = pint.Quantity(12.5, 'ft'); import rotorkit.rotor, rotorkit as rk;"
        "print(rk.say(rotorkit.rotor.tip_speed('520 rpm', q)))"
    )
    assert run(code) == "680.7 ft/s"


@pytest.mark.parametrize(
    ("old", "new"),
    [("ControlTravel", "TravelFit"), ("CyclicRange", "CyclicRanges"), ("TensionTrend", "TensionLine")],
)
def test_an_earlier_name_of_rigging_still_works_and_says_the_present_one(old: str, new: str) -> None:
    """The sheets bear the earlier names too: one name, one thing."""
    from rotorkit import rigging

    with pytest.warns(DeprecationWarning, match=f"rigging.{old} is named {new} now"):
        assert getattr(rigging, old) is getattr(rigging, new)
    assert old not in rigging.__all__


def test_what_is_imported_is_declared_and_what_is_declared_is_imported() -> None:
    """Each distribution by its own name; `pydantic_core` is pinned by pydantic, to the letter."""
    import ast
    import re
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.split(r"[<>=\[]", one)[0] for one in project["dependencies"]}
    optional = {re.split(r"[<>=\[]", one)[0] for one in project["optional-dependencies"]["scale"]}
    imported: set[str] = set()
    for path in (ROOT / "rotorkit").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                imported |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
                imported.add(node.module.split(".")[0])
            elif isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "import_module":
                named = [one.value for one in node.args if isinstance(one, ast.Constant)]
                imported |= {str(one).split(".")[0] for one in named}
    outside = imported - set(sys.stdlib_module_names) - {"rotorkit", "pydantic_core"}
    distribution = {"PIL": "pillow"}
    assert {distribution.get(name, name.lower()) for name in outside} - optional == declared
