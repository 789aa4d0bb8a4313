"""A column of a table in place of an argument: a pandas Series or an xarray DataArray, with its unit.

The unit stands in ``attrs["units"]``, as a person would type it; a pandas column may have it from its table, by the
column's name: ``table.attrs["units"] = {"speed": "rpm"}``. What comes back is of the same make: the same index, or the
same axes, which meet by name; its unit (coherent SI) in ``attrs["units"]``. The columns become plain quantities and go
through the same call as any others, so they are held to the same kinds and bounds. Neither library is imported here
but where one of its columns came.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from rotorkit.quantities import Kind, QuantityError, from_si, read
from rotorkit.quantities.bare import held, taken
from rotorkit.quantities.pint_inside import is_quantity


class TableGiven(Exception):
    """A column came in place of an argument."""


def _library(value: Any) -> str:
    """The library that a column is of; empty for anything else. It is not imported to tell."""
    library = type(value).__module__.partition(".")[0]
    if library == "xarray" and hasattr(value, "dims") and hasattr(value, "data"):
        return library
    return library if library == "pandas" and hasattr(value, "index") and hasattr(value, "to_numpy") else ""


def is_column(value: Any) -> bool:
    """Whether a value is a column of a table or an array with named axes."""
    return _library(value) != ""


def unit_given(value: Any, kind: Kind) -> str:
    """The unit that a column says it is in; for a ratio it may say none. Raises `QuantityError`."""
    make = "DataArray" if _library(value) == "xarray" else type(value).__name__
    if make == "DataFrame":
        raise QuantityError(f"needs {kind.name}, got a whole DataFrame: pass one of its columns")
    unit = getattr(value, "attrs", {}).get("units")
    if isinstance(unit, dict):
        unit = unit.get(getattr(value, "name", None))
    if unit is None:
        if kind.si:
            raise QuantityError(
                f"needs {kind.name} with its unit, got a {make} without one: set its attrs['units'], as in "
                f"'{kind.example}'"
            )
        return ""
    try:
        read(f"1 {unit}", kind)
    except ValueError as problem:
        raise QuantityError(f"needs {kind.name}, got a {make} in {unit!r}: {problem}") from None
    return str(unit)


def scaled(value: Any, kind: Kind) -> Any:
    """A column's values in coherent SI units: the same array or column, scaled. Raises `QuantityError`."""
    if is_quantity(getattr(value, "data", None)):
        return value.copy(data=taken(value.data, kind))
    unit = unit_given(value, kind)
    try:
        numbers = value.astype(float)
    except (TypeError, ValueError):
        raise QuantityError(f"needs {kind.name}, got a column with a value that is not a number") from None
    if not unit:
        return numbers
    zero, one = read(f"0 {unit}", kind).si, read(f"1 {unit}", kind).si
    return numbers * (one - zero) + zero


def over_columns(
    name: str, call: Callable[..., Any], si: Callable[..., Any], names: Sequence[str], kinds: Sequence[Kind | None],
    result: Kind | None, values: Sequence[Any],
) -> Any:  # fmt: skip
    """What a function gives where one or several of its arguments are columns.

    call: the function itself, which takes quantities; si: its bare twin; names, kinds, values: of all arguments in
    order; result: the kind of what it gives. Columns that Dask has yet to work out go through the bare twin, block by
    block.
    """
    if result is None:
        raise QuantityError(f"{name}: gives no single quantity: call it for one point at a time")
    at = [i for i, value in enumerate(values) if is_column(value)]
    if len({_library(values[i]) for i in at}) > 1:
        raise QuantityError(f"{name}: got columns of pandas and of xarray together: turn them into one kind")
    problems, columns = [], {}
    for i in at:
        kind = kinds[i]
        try:
            if kind is None:
                raise QuantityError("takes no column")
            columns[i] = scaled(values[i], kind)
        except QuantityError as problem:
            problems.append((names[i], str(problem)))
    if problems:
        lines = [f"{of} {said}" for of, said in problems]
        raise QuantityError(f"{name}:\n  " + "\n  ".join(lines) if len(lines) > 1 else f"{name}: {lines[0]}", problems)

    def bare(*numbers: Any) -> Any:
        """One call, with arrays of one shape, to bare SI values."""
        given = list(values)
        for i, number in zip(columns, numbers, strict=True):
            given[i] = from_si(number, kinds[i])
        found = call(**dict(zip(names, given, strict=True)))
        if not is_quantity(found):
            raise QuantityError(
                f"{name}: an uncertainty is not carried along a column: leave out ±, or pass a quantity with an array"
            )
        return taken(found, result)

    if _library(values[at[0]]) == "pandas":
        return _of_pandas(name, bare, columns, result)
    return _of_xarray(name, bare, si, values, kinds, columns, result)


def _of_pandas(name: str, worked: Callable[..., Any], columns: dict[int, Any], result: Kind) -> Any:
    first = next(iter(columns.values()))
    if any(not one.index.equals(first.index) for one in columns.values()):
        raise QuantityError(f"{name}: the columns have different rows (their index differs)")
    found = type(first)(worked(*(one.to_numpy() for one in columns.values())), index=first.index, name=name)
    found.attrs["units"] = result.si
    return found


def _of_xarray(
    name: str, worked: Callable[..., Any], si: Callable[..., Any], values: Sequence[Any], kinds: Sequence[Kind | None],
    columns: dict[int, Any], result: Kind,
) -> Any:  # fmt: skip
    import xarray

    if any(hasattr(one.data, "dask") for one in columns.values()):
        bare = [columns.get(i, _bare(value, kinds[i])) for i, value in enumerate(values)]
        found = xarray.apply_ufunc(si, *bare, dask="parallelized", output_dtypes=[float])
    else:
        spread = xarray.broadcast(*columns.values())
        found = spread[0].copy(data=worked(*(one.values for one in spread)))
    found.attrs = {"units": result.si, "long_name": name.replace("_", " ")}
    return found.rename(name)


def _bare(value: Any, kind: Kind | None) -> Any:
    """What goes to the bare twin for anything that is no column."""
    if kind is None or value is None or is_column(value):
        return value
    return held(taken(value, kind), kind)[0]
