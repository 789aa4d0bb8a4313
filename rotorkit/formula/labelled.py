"""Sweeps with labelled axes: xarray arrays in, xarray arrays out, by the same functions as single figures.

A `DataArray` says its unit in ``attrs["units"]``, as text that a person would type; one without a unit is taken for a
ratio only where a ratio is wanted. Axes meet by name, so that masses × heights × temperatures need no bookkeeping.
Where the data are Dask arrays nothing is worked out until it is asked for, and then block by block: a sweep may be
larger than the memory. xarray and Dask come with the extra ``scale``; they are imported only here, at first use.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from rotorkit.formula.contract import Contract, si_of
from rotorkit.formula.tabled import scaled
from rotorkit.quantities import Kind, QuantityError


def is_labelled(value: Any) -> bool:
    """Whether a value is an xarray DataArray; xarray is not imported to tell."""
    return type(value).__module__.split(".")[0] == "xarray" and hasattr(value, "dims")


def si_labelled(value: Any, kind: Kind, name: str) -> Any:
    """A DataArray in coherent SI units from one in the unit that its ``attrs["units"]`` says; anything else as `si_of`.

    Raises `QuantityError` where the unit is missing or of another kind. Values held in memory are checked as any other
    argument is; values that Dask has yet to work out are not.
    """
    if not is_labelled(value):
        si, uncertain = si_of(value, kind, name)
        if uncertain is not None:
            raise QuantityError(f"{name} has an uncertainty, which a labelled sweep does not carry: leave out ±")
        return si
    try:
        found = scaled(value, kind)
    except QuantityError as problem:
        raise QuantityError(f"{name} {problem}") from None
    if not hasattr(value.data, "dask"):
        low, high = float(found.min()), float(found.max())
        if not bool(found.notnull().all()) or abs(low) == float("inf") or high == float("inf"):
            raise QuantityError(f"{name} holds a value which is not a number")
        if kind.minimum is not None and low < kind.minimum:
            raise QuantityError(f"{name} needs {kind.name} of zero or more, got an array with {low:g} {kind.si}")
    found.attrs = {}
    return found


def apply_labelled(
    function: Callable[..., Any], arguments: Sequence[Any], results: Sequence[tuple[str, str, str]]
) -> Any:
    """A Dataset of a bare SI function of several arrays: `results` gives name, unit and title of each array it returns.

    arguments: bare SI DataArrays, arrays or floats. Dask arrays stay unworked.
    """
    import xarray

    many = len(results) > 1
    found = xarray.apply_ufunc(
        function,
        *arguments,
        output_core_dims=[[] for _ in results],
        dask="parallelized",
        output_dtypes=[float for _ in results],
    )
    dataset = xarray.Dataset(
        {name: part for (name, _, _), part in zip(results, found if many else (found,), strict=True)}
    )
    for name, unit, title in results:
        dataset[name].attrs = {"units": unit, "long_name": title}
    return dataset


def labelled(function: Any, **arguments: Any) -> Any:
    """Any formula or function of the library over labelled axes.

    Parameters
    ----------
    function : Any
        a `@formula` (`standard_density`, say), or a function with a contract whose bare twin takes arrays.
    arguments
        by name: DataArrays with ``attrs["units"]``, or text and quantities as in any call.

    Returns
    -------
    Any
        A DataArray with the axes of all the arguments, its unit (coherent SI) in ``attrs["units"]``.

    Raises
    ------
    QuantityError
        an argument is missing, unknown, or not of its kind.

    Examples
    --------
    >>> import xarray
    >>> from rotorkit.atmosphere import standard_density
    >>> heights = xarray.DataArray([0, 5000, 10000], dims="height", attrs={"units": "ft"})
    >>> labelled(standard_density, pressure_altitude=heights).values.round(4)
    array([1.225 , 1.0555, 0.9046])
    """
    agreed: Contract = function.contract
    values = agreed.bound((), arguments)
    kinds: Mapping[str, Any] = {argument.name: argument.kind for argument in agreed.arguments}
    given = []
    problems = []
    for name, value in zip(agreed.names, values, strict=True):
        kind = kinds[name]
        try:
            given.append(value if kind is None else si_labelled(value, kind, name))
        except QuantityError as problem:
            problems.append((name, str(problem).removeprefix(f"{name} ")))
    agreed.report(problems)
    if agreed.result is None:
        raise TypeError(f"{agreed.name} returns no quantity")
    title = agreed.name.replace("_", " ")
    return apply_labelled(function.si, given, [("value", agreed.result.si, title)])["value"].rename(agreed.name)
