"""The working of the blade-angle sheet: means, angles, findings, pictures, and what should be asked about."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import TYPE_CHECKING

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Readings
from rotorkit.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, Limit
from rotorkit.measured import Measured
from rotorkit.quantities import Angle, say
from rotorkit.rigging import (
    blade_angle,
    blade_angle_protractor_kept_facing_one_way,
    blade_angle_protractor_turned_with_blade,
    blade_to_blade_spread,
    protractor_zero_end_for_end,
    shaft_lean_protractor_kept_facing_one_way,
    shaft_lean_protractor_turned_with_blade,
    travel_between_stops,
)
from rotorkit.sheets.base import Finding, Outcome, bars, judge, plain_step, unset
from rotorkit.sheets.blade_stations import (
    BY_REFERENCE,
    HIGH_STOP,
    LOW_STOP,
    POSITIONS,
    TURNED_WITH_BLADE,
    ReadStation,
    key_of,
    limit_at,
    read_stations,
)
from rotorkit.sheets.picture import AngleRow, Angles, Picture
from rotorkit.sheets.protractor_work import ProtractorWork

if TYPE_CHECKING:
    from rotorkit.sheets.blade_angles import BladeAngles

__all__ = ["BladeAngleWork"]

QUESTION_LEAN = math.radians(3.0)
"""A lean beyond this is asked about: aircraft stand level to within this in a hangar (common practice, no source)."""
QUESTION_SIGN = math.radians(1.0)
"""Two blades on either side of nothing by more than this are asked about (common practice, no source)."""

RISES = Limit("travel", Angle, low="0 deg", source="the low stop is the lower blade angle")


class BladeAngleWork(ProtractorWork):
    """One working of the sheet: readings, means, angles, findings and what should be asked about."""

    def __init__(self, sheet: BladeAngles, aircraft: Aircraft) -> None:
        super().__init__(sheet, aircraft, sheet.rotor)
        self.sheet = sheet
        self.read = read_stations(sheet, self.rotor)
        self._pool(self._groups())

    # what was read

    def _groups(self) -> list[Readings]:
        rows = [getattr(r.station, name) for r in self.read for name in ("reading", "second", "reference")]
        return [group for group in (*rows, self.sheet.reference, self.sheet.zero, self.sheet.zero_turned) if group]

    # what comes of it

    def _angles(self) -> None:
        way, sheet = self.sheet.way, self.sheet
        shared = (
            self._mean(sheet.reference, "reference", "reference") if sheet.reference and way == BY_REFERENCE else None
        )
        zero = self._zero() if way != BY_REFERENCE else None
        for read in self.read:
            station, title = read.station, f"Blade angle: {read.words}"
            assert station.reading is not None
            first = self._mean(station.reading, read.words, read.position)
            if way == BY_REFERENCE:
                own = station.reference
                reference = self._mean(own, f"reference for {read.words}", "reference") if own else shared
                read.angle = self._worked(title, blade_angle, first, reference, self.sign)
                continue
            assert station.second is not None
            later = f"{read.words}, half a turn later"
            if way == TURNED_WITH_BLADE:
                second = self._mean(station.second, later, read.position)
                read.angle = self._worked(
                    title, blade_angle_protractor_turned_with_blade, first, second, zero, self.sign
                )
                lean = self._worked(
                    f"Shaft's lean: {read.words}", shaft_lean_protractor_turned_with_blade, first, second
                )
            else:
                second = self._mean(station.second, later, f"{read.position}, turned round")
                read.angle = self._worked(title, blade_angle_protractor_kept_facing_one_way, first, second, self.sign)
                formula = shaft_lean_protractor_kept_facing_one_way
                told = "Shaft's lean" if zero is not None else "Shaft's lean and protractor's zero together"
                lean = self._worked(f"{told}: {read.words}", formula, first, second, zero or "0 deg")
            if abs(float(lean.si)) > QUESTION_LEAN:
                held = "turned with the blade" if way == TURNED_WITH_BLADE else "kept facing one way"
                self.asked.append(
                    f"{_capital(read.words)}: the two readings imply that the shaft leans {say(lean)}. Was the "
                    f"protractor really {held}?"
                )

    def _zero(self) -> Measured | None:
        if self.sheet.zero is None:
            return None
        zero = self._mean(self.sheet.zero, "level surface", "zero")
        if self.sheet.zero_turned is None:
            return zero
        turned = self._mean(self.sheet.zero_turned, "level surface, protractor end for end", "zero")
        return self._worked("Protractor's zero", protractor_zero_end_for_end, zero, turned)

    def _at(self, blade: str, position: str) -> ReadStation | None:
        return next((r for r in self.read if (r.blade, r.position) == (blade, position)), None)

    def _findings(self) -> list[Finding]:
        limits, found = self.rotor.limits, []
        for position in POSITIONS:
            limit = limit_at(self.rotor, position)
            for blade in self.rotor.blades:
                if (read := self._at(blade, position)) is not None:
                    title = f"Blade {blade}, {position}"
                    found.append(_finding(f"{key_of(position)}.{key_of(blade)}", title, limit, read.angle))
        for blade in self.rotor.blades:
            low, high = self._at(blade, LOW_STOP), self._at(blade, HIGH_STOP)
            if low is not None and high is not None:
                title = f"Blade {blade}, travel"
                travel = self._worked(
                    f"Travel between the stops: blade {blade}", travel_between_stops, low.angle, high.angle
                )
                finding = _finding(f"travel.{key_of(blade)}", title, limits.travel, travel, RISES)
                found.append(replace(finding, aside=finding.verdict.word == NO_LIMIT))
        for position in POSITIONS:
            angles = {b: r.angle for b in self.rotor.blades if (r := self._at(b, position)) is not None}
            if len(angles) > 1 and len(angles) == len(self.rotor.blades):
                spread = self._spread(position, angles)
                title = f"Blade to blade, {position}"
                key, limit = f"spread.{key_of(position)}", limits.blade_to_blade
                found.append(_finding(key, title, limit, spread, aside=unset(limit)))
        return found

    def _spread(self, position: str, angles: dict[str, Measured]) -> Measured:
        spread = blade_to_blade_spread(list(angles.values())).shown_in("deg")
        most, least = (pick(angles, key=lambda b: float(angles[b].si)) for pick in (max, min))
        a, b = (f"{math.degrees(float(angles[blade].si)):.2f}" for blade in (most, least))
        line = f"blade {most} less blade {least}: {a}° - {f'({b}°)' if b.startswith('-') else f'{b}°'} = {say(spread)}"
        cited = sources.DEFINITION.at("largest blade angle less the smallest")
        self.steps.append(plain_step(f"Blade-to-blade spread, {position}", [line], spread, cited))
        return spread

    def outcome(self) -> Outcome:
        self._angles()
        findings = self._findings()
        remarks = [
            self.rotor.convention.sentence,
            *self.overdue,
            *self.asked,
            *self._questions(findings),
            *(f"{self._place(path)}: {sentence}." for path, sentence in self.sheet.doubts()),
            *self._not_used(),
        ]
        pictures: list[Picture] = [self._picture(findings)]
        # the angles stand in the first picture with their limits
        compared = bars("Travel and blade-to-blade spread", [f for f in findings if not self._is_angle(f)], self.system)
        if compared.rows:
            pictures.append(compared)
        return Outcome(f"{self.sheet.about.title}, {self.sheet.rotor}", findings, self.steps, pictures, remarks)

    def _is_angle(self, finding: Finding) -> bool:
        """Whether a finding is a blade angle, not a travel or a spread."""
        return any(finding.measured is read.angle for read in self.read)

    def _picture(self, findings: list[Finding]) -> Angles:
        rows = []
        for finding in findings:
            read = next((r for r in self.read if finding.measured is r.angle), None)
            if read is None:
                continue
            limit = limit_at(self.rotor, read.position)
            sides = (None, None) if limit is None else (limit.low_si, limit.high_si)
            low, high = (None if side is None else math.degrees(side) for side in sides)
            spread = math.degrees(float(read.angle.expanded_si))
            angle = math.degrees(float(read.angle.si))
            rows.append(AngleRow(finding.title, angle, spread, low, high, finding.verdict.word))
        return Angles("Angles at the stops", self.rotor.convention.blade_positive.value, rows)

    # what should be asked about

    def _questions(self, findings: list[Finding]) -> list[str]:
        asked = []
        for finding in filter(self._is_angle, findings):
            limit, mirrored = finding.verdict.limit, -finding.measured
            if finding.verdict.word == OUT_OF_LIMITS and limit is not None and limit.judge(mirrored).word == IN_LIMITS:
                asked.append(
                    f"{finding.title}: {say(finding.measured)} is out of limits, {say(mirrored)} would be in. Check "
                    f"the sign on the blade itself before anything is adjusted."
                )
        for position in POSITIONS:
            at = [r for r in self.read if r.position == position]
            for one, other in itertools.combinations(at, 2):
                a, b = float(one.angle.si), float(other.angle.si)
                if a * b < 0 and min(abs(a), abs(b)) > QUESTION_SIGN:
                    asked.append(
                        f"At the {position} blade {one.blade} reads {say(one.angle)} and blade {other.blade} "
                        f"{say(other.angle)}: of opposite sign. Was the protractor the same way round on both?"
                    )
        for blade in self.rotor.blades:
            low, neutral, high = (self._at(blade, position) for position in POSITIONS)
            if low is not None and high is not None and float(high.angle.si) < float(low.angle.si):
                asked.append(
                    f"Blade {blade}: the low stop ({say(low.angle)}) lies above the high stop ({say(high.angle)}). Are "
                    f"the stops exchanged, or is the sign convention of the aircraft file the wrong way round?"
                )
            elif (
                low is not None
                and neutral is not None
                and high is not None
                and not float(low.angle.si) <= float(neutral.angle.si) <= float(high.angle.si)
            ):
                asked.append(f"Blade {blade}: neutral ({say(neutral.angle)}) does not lie between the stops.")
        return asked

    def _place(self, path: str) -> str:
        """A field in words."""
        first, *rest = path.split(".")
        if not rest:
            return str(type(self.sheet).model_fields[first].title)
        station = self.sheet.stations[int(rest[0])]
        return f"Blade {station.blade}, {station.position}"

    def _not_used(self) -> list[str]:
        sheet = self.sheet
        if sheet.way == BY_REFERENCE:
            unused = [name for name in ("zero", "zero_turned") if getattr(sheet, name)]
        else:
            unused = ["reference"] if sheet.reference else []
        titles = [type(sheet).model_fields[name].title for name in unused]
        return [f"{title} is not used by this way of reading." for title in titles]


def _finding(
    key: str, title: str, limit: Limit | None, figure: Measured, physical: Limit | None = None, aside: bool = False
) -> Finding:
    """A finding whose sentence names the blade."""
    named = replace(limit, name=title) if limit is not None else None
    return Finding(key, title, judge(named, figure, title, physical), aside)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
