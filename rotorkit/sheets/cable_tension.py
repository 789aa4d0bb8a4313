"""Cable tension: a gauge reading, carried to the temperature that the kit manual's limit is given for."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from rotorkit import cautions
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Choice, Entry, Readings
from rotorkit.quantities import Force, Ratio, Reading, Temperature
from rotorkit.sheets.base import About, Outcome, Sheet
from rotorkit.sheets.cable_tension_work import EVERYDAY, CableTensionWork

__all__ = ["CableTension"]


class CableTension(Sheet):
    """The tension of one run of control cable on a day, against a limit given for another temperature."""

    name: ClassVar[str] = "cable_tension"
    about: ClassVar[About] = About(
        title="Cable tension",
        settles=(
            "Whether a control cable is as tight as the manual wants it at the manual's temperature, what the gauge "
            "should show at today's temperature, and at which temperature the cable would go slack."
        ),
        when=(
            "After fitting or adjusting a cable, a few hours later when a new one has pulled in, at each inspection, "
            "and before the season turns."
        ),
        tools=(
            "cable tension gauge with its own calibration table, and the riser that the table names for this cable",
            "thermometer laid on the airframe beside the cable",
            "the manual's page with the tension and the temperature it is given for",
        ),
        procedure=(
            "Leave the aircraft where it stands, out of the sun and with the engine cold, until airframe and cable are "
            "at one temperature: an hour or more.",
            "Work the controls through their full range a few times, then set them to neutral with the rigging pin in.",
            "Check the gauge: its zero or test bar, its serial number on the table, the riser for this cable size.",
            "Put the gauge on the middle of a free length of cable, away from pulleys, fairleads, terminals and the "
            "turnbuckle; let it settle and read the dial.",
            "Take it off, work the controls again and repeat: three readings, parted by semicolons.",
            "Read the thermometer on the airframe at the same time.",
            "If the tension wants changing, aim for the middle of the band at today's temperature, tighten both runs "
            "of a loop together, work the controls, and read both again.",
        ),
        sign_convention=(
            "Tension is positive; a cable cannot push. A positive slope means that tension rises with temperature, as "
            "it does with steel cables along an aluminium airframe; along a composite one it falls."
        ),
        cautions=(
            cautions.ENGINE_OFF,
            cautions.HANDS_IN_LINKAGE,
            cautions.CABLES_UNDER_LOAD,
            cautions.MANUAL_GOVERNS,
            cautions.LOCKING,
            cautions.INSPECTION,
            cautions.AN_AID,
        ),
        not_covered=(
            "friction at pulleys and fairleads: the tension differs along a run until the controls have been worked",
            "a cable at another temperature than the airframe: sun on the boom, a warm engine bay",
            "the permanent stretch of a new cable, wear, broken wires and the cable's strength",
            "tension regulators and springs in the run",
        ),
    )

    cable: Annotated[str, Choice("cables")] = Field(title="Cable", description="As named in the aircraft file.")
    gauge: Annotated[str, Choice("instruments", measures="cable tension")] = Field(
        title="Gauge", description="The very gauge, by its serial number: another one's table does not serve."
    )
    riser: str = Field(
        "",
        title="Riser",
        description="The mark on the riser in the gauge, as in its table. Leave it empty for a gauge without a table.",
    )
    dial: Annotated[Readings | None, Entry(Ratio, ("", ""), ("0", None), by="gauge", repeats=True)] = Field(
        None,
        title="Dial reading",
        description="In the gauge's own divisions, with its table. Part repeats by semicolons: 27.5; 28; 27.5.",
    )
    tension: Annotated[
        Readings | None, Entry(Force, ("lbf", "N"), ("0 lb", "2000 lb"), ("5 lb", "400 lb"), by="gauge", repeats=True)
    ] = Field(
        None,
        title="Tension shown",
        description="For a gauge that shows the tension itself and has no table. Part repeats by semicolons.",
    )
    temperature: Annotated[
        Reading, Entry(Temperature, ("°F", "°C"), ("-60 °F", "160 °F"), EVERYDAY, by="thermometer")
    ] = Field(
        title="Temperature of the airframe",
        description="On the structure beside the cable, after airframe and cable have come to one temperature.",
    )
    thermometer: Annotated[str, Choice("instruments", measures="temperature")] = Field("", title="Thermometer")

    def _work(self, aircraft: Aircraft) -> Outcome:
        return CableTensionWork(self, aircraft).outcome()
