"""Which part of what is typed takes its unit from another, and what is asked about since two things could be meant."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from rotorkit.quantities.errors import AmbiguousReading, QuantityError, shortened
from rotorkit.quantities.kinds import Kind
from rotorkit.quantities.parts import Part
from rotorkit.quantities.spelled_units import unit_container
from rotorkit.quantities.units import GREATEST

PERCENT = ("%", "percent", "pct")
TWO_WAYS = re.compile(r"([1-9]\d{0,2})([.,])(\d{3})")


def is_percent(unit_text: str) -> bool:
    return unit_text in PERCENT


def is_one(unit_text: str, kind: Kind) -> bool:
    """Whether a unit is a plain ratio: nothing, in/in; not %, ppm, in/ft."""
    from rotorkit.quantities.registry import unit_factor

    try:
        return unit_factor(unit_text, kind) == 1.0
    except QuantityError:
        return True  # what is no unit of the kind is refused later, with its reason


def same_unit(one: str, other: str | None, kind: Kind) -> bool:
    if other is None:
        return False
    try:
        return bool(unit_container(one, kind) == unit_container(other, kind))
    except QuantityError:
        return True  # as above


@dataclass
class Written:
    """What was typed, cut into parts, while each part is given its unit."""

    typed: str
    main: str
    spread: str
    parts: list[Part]
    spread_part: Part | None
    kind: Kind
    bare_unit: str | None

    def give_units(self) -> None:
        """The unit of a number that has none: the one that nothing else can be meant by, else the form's; refused
        where there is none, and where one unit could be lent and another meant."""
        last, spread = self.parts[-1], self.spread_part
        if self.kind.si == "":
            self._give_ratio(last, spread)
        else:
            self._give(last, spread)
        self.main = self._with_unit(self.main, last)
        if spread is not None:
            self.spread = self._with_unit(self.spread, spread)

    @property
    def complete(self) -> str:
        return self.main + (f" ± {self.spread}" if self.spread else "")

    @staticmethod
    def _with_unit(text: str, part: Part) -> str:
        return text if part.typed_unit or not part.unit_text or part.is_ratio else f"{text} {part.unit_text}"

    def _ways(self, *pairs: tuple[str, str]) -> AmbiguousReading:
        return AmbiguousReading(self.typed, *(main + (f" ± {spread}" if spread else "") for main, spread in pairs))

    def _give_ratio(self, last: Part, spread: Part | None) -> None:
        """A share (%, ppm) is never lent: 0.60 ± 5 % is 0.60 % to one and 0.60 ± 0.03 to another."""
        if spread is not None and spread.is_ratio:
            raise QuantityError(f"the uncertainty in {shortened(self.typed)} must be a number: write it like '6 ± 0.1'")
        unit = self.bare_unit or ""
        if not last.unit_text and not last.is_ratio and len(self.parts) == 1:
            if last.broken and not last.whole and not is_one(unit, self.kind):
                raise self._fraction(last, spread, unit)
            last.unit_text = unit
        if spread is None:
            return
        if spread.unit_text and not last.unit_text and not is_one(spread.unit_text, self.kind):
            if not is_percent(spread.unit_text):
                from rotorkit.quantities.registry import unit_factor

                behind_both = f"{self.main} {spread.unit_text}", self.spread
                plain = f"{spread.number * unit_factor(spread.unit_text, self.kind):.12f}".rstrip("0").rstrip(".")
                raise self._ways(*([] if last.is_ratio else [behind_both]), (self.main, plain))
            size, share = abs(last.number), spread.number / 100
            ways = [(self.main, _short(one)) for one in (size * share, share) if one]
            if not last.is_ratio:
                ways.insert(0, (f"{self.main} {spread.unit_text}", self.spread))
            raise self._ways(*ways)
        if not spread.unit_text:
            own = last.unit_text
            if own and not last.typed_unit:
                spread.unit_text = own  # both bare: both take the form's
            elif own and not is_one(own, self.kind):
                if self.bare_unit is not None and same_unit(own, self.bare_unit, self.kind):
                    spread.unit_text = own
                elif spread.number < 1:
                    raise self._ways(
                        (self.main, f"{self.spread} {own}"), (self.main, f"{_short(spread.number * 100)} %")
                    )
                else:
                    spread.unit_text = own
            else:
                spread.unit_text = own

    def _fraction(self, last: Part, spread: Part | None, unit: str) -> AmbiguousReading:
        """3/4 in a field of per cent: three quarters of one per cent to one, 75 % to another."""
        sizes = [self.spread, self.spread]
        if spread is not None and not spread.unit_text:
            sizes = [f"{_short(spread.number)} {unit}", f"{_short(spread.number * 100)} %"]
        shares = [f"{_short(last.number)} {unit}", f"{_short(last.number * 100)} %"]
        return self._ways(*zip(shares, sizes, strict=True))

    def _give(self, last: Part, spread: Part | None) -> None:
        after = spread.unit_text if spread is not None and len(self.parts) == 1 else ""
        after = "" if is_percent(after) else after
        if not last.unit_text:
            if after and self.bare_unit is not None and not same_unit(after, self.bare_unit, self.kind):
                raise self._ways((f"{self.main} {after}", self.spread), (f"{self.main} {self.bare_unit}", self.spread))
            if after and single(_container(after, self.kind)) in ("arcminute", "arcsecond"):
                raise self._ways((f"{self.main}{after}", self.spread), (f"{self.main}°", self.spread))
            last.unit_text = after or self._of_the_form()
        if spread is None or spread.unit_text:
            return
        own = last.unit_text
        if len(self.parts) > 1:
            raise self._ways(
                (self.main, f"{self.spread} {own}"), (self.main, f"{self.spread} {self.parts[0].unit_text}")
            )
        if self.bare_unit is not None and not same_unit(own, self.bare_unit, self.kind):
            raise self._ways((self.main, f"{self.spread} {own}"), (self.main, f"{self.spread} {self.bare_unit}"))
        spread.unit_text = own

    def _of_the_form(self) -> str:
        if self.bare_unit is not None:
            return self.bare_unit
        one, typed = len(self.parts) == 1, shortened(self.typed)
        what = f"the bare number {typed}" if one else f"{typed}, whose last number has none"
        raise QuantityError(f"needs {self.kind.name} with its unit, got {what}: type for example '{self.kind.example}'")

    def ask_about_separators(self, magnitude: float, units: Any, signs: str = ".,") -> None:
        """Refuse 3,125 in and 1.310 lb: who writes a decimal comma means something else by it, and may well do so.
        signs: those that are asked about."""
        if len(self.parts) > 1:
            return
        for part, text, in_spread in ((self.parts[0], self.main, False), (self.spread_part, self.spread, True)):
            found = TWO_WAYS.fullmatch(part.text) if part is not None and not part.is_ratio else None
            if part is None or found is None:
                continue
            whole, sign, places = found.groups()
            if sign not in signs:
                continue
            thousands, decimal = float(whole + places), float(f"{whole}.{places}")
            of = _container(part.unit_text, self.kind) if not is_percent(part.unit_text) else None
            greatest = GREATEST.get("percent" if of is None else _key(of))
            if greatest is None:
                continue
            if in_spread and of == units:
                greatest = min(greatest, abs(magnitude))
            asked = greatest / 1000 <= decimal <= greatest if sign == "," else thousands <= greatest
            if not asked:
                continue
            shortest = f"{decimal:.3f}".rstrip("0")
            written = [
                text.replace(part.text, new, 1)
                for new in (
                    whole + places,
                    f"{decimal:.4f}"
                    if len(shortest) == len(f"{decimal:.3f}")
                    else shortest + "0" * shortest.endswith("."),
                )
            ]
            if sign == ".":
                written.reverse()
            raise self._ways(*(((self.main, new) if in_spread else (new, self.spread)) for new in written))


def _key(units: Any) -> str:
    """The name of a unit, or of a product or quotient of units, as `GREATEST` has it."""
    names = [(name if abs(power) == 1 else f"{name}^{abs(power):g}", power) for name, power in units.items()]
    top, bottom = ("*".join(sorted(name for name, power in names if sign * power > 0)) for sign in (1, -1))
    return f"{top}/{bottom}" if bottom else top


def _container(unit_text: str, kind: Kind) -> Any:
    return unit_container(unit_text, kind)


def _short(number: float) -> str:
    return f"{number:.10g}"


def single(units: Any) -> str:
    names = dict(units.items())
    return next(iter(names)) if len(names) == 1 and next(iter(names.values())) == 1 else ""
