"""The published sources that rotorkit's figures rest on: one constant each.

A docstring, a worked step and a report all cite the same constant, through ``SOURCE.at("eq. 2.22")``, so that a title
is written in one place. ``known`` says how the source's figures reached us, in the words of ``references/README.md``:
read, quoted, computed, memory or practice.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Citation", "Source"]

HOW_KNOWN = {
    "read": "read in the source itself",
    "quoted": "read where a secondary source quotes it",
    "computed": "derived here, or computed by an independent library",
    "memory": "from memory, not seen",
    "practice": "common practice (no source)",
}


@dataclass(frozen=True)
class Source:
    """A publication: a short key, its bibliographic line, and how its figures reached us (a key of `HOW_KNOWN`).

    says_how: whether the line itself says how they are known, as that of common practice does.
    """

    key: str
    text: str
    known: str
    says_how: bool = False

    def __post_init__(self) -> None:
        if self.known not in HOW_KNOWN:
            raise ValueError(f"Source {self.key}: known must be one of {', '.join(HOW_KNOWN)}; got {self.known!r}")

    def at(self, where: str = "", known: str | None = None) -> Citation:
        """A citation of one place in this source (an equation, table or page), for ``@formula(source=...)``."""
        return Citation(self, where, known or self.known)


@dataclass(frozen=True)
class Citation:
    """One place in a source."""

    source: Source
    where: str = ""
    known: str = "read"

    def __str__(self) -> str:
        between = ": " if self.source.key == "arithmetic" else ", "
        return f"{self.source.text}{between}{self.where}" if self.where else self.source.text

    @property
    def sentence(self) -> str:
        """The citation with how it is known, for a record that an inspector reads."""
        if self.source.says_how and self.known == self.source.known:
            return str(self)
        return f"{self} ({HOW_KNOWN[self.known]})"


ARITHMETIC = Source("arithmetic", "derived from first principles, not from a publication", "computed", True)
"""Geometry, statics and plain arithmetic: the derivation is in the docstring of whatever cites this."""
DEFINITION = Source("definition", "definition of the trade", "practice", True)
COMMON_PRACTICE = Source("practice", "common practice (no source)", "practice", True)
JCGM_100 = Source(
    "JCGM 100", "JCGM 100:2008, Evaluation of measurement data: guide to the expression of uncertainty", "quoted"
)
JCGM_106 = Source("JCGM 106", "JCGM 106:2012, The role of measurement uncertainty in conformity assessment", "quoted")
ISO_14253_1 = Source(
    "ISO 14253-1", "ISO 14253-1:2017, Decision rules for verifying conformity with specifications", "quoted"
)
NIST_SP_811 = Source("NIST SP 811", "NIST Special Publication 811 (2008), Guide for the use of the SI", "quoted")
LEISHMAN_2006 = Source(
    "Leishman 2006", "J. G. Leishman, Principles of Helicopter Aerodynamics, 2nd edition, Cambridge, 2006", "quoted"
)
CABLE_STRETCH = Source("cable stretch", "a cable maker's technical page on elastic stretch, W G / D^2", "read")
CALLISTER = Source(
    "Callister", "W. D. Callister, Fundamentals of Materials Science and Engineering, 3rd edition, Table B.6", "quoted"
)
LEVINSON = Source("Levinson", "Levinson, statics and strength of materials (worked examples)", "quoted")
AC_43_13_1B = Source(
    "AC 43.13-1B",
    "FAA AC 43.13-1B, Acceptable methods, techniques and practices: aircraft inspection and repair",
    "read",
)
FAA_H_8083_1 = Source("FAA-H-8083-1", "FAA-H-8083-1, Aircraft weight and balance handbook", "quoted")
CFR_14 = Source(
    "14 CFR", "US Code of Federal Regulations, title 14 (editions differ; the current text governs)", "read"
)
TM_1_1500_204_23_1 = Source(
    "TM 1-1500-204-23-1", "US Army TM 1-1500-204-23-1, General aircraft maintenance manual, vol. 1", "read"
)
GERE = Source("Gere", "J. M. Gere, Mechanics of Materials", "quoted")
BHAVIKATTI = Source("Bhavikatti", "S. S. Bhavikatti, Strength of Materials", "quoted")
WENTZELL = Source("Wentzell", "T. H. Wentzell, Machine Design", "quoted")
EULER_COLUMN = Source(
    "Euler column", "Euler's load of a slender column (in any text on strength of materials)", "computed"
)
JOHNSON_COLUMN = Source(
    "Johnson column",
    "J. B. Johnson's parabola for columns of middling slenderness (in any machine-design text)",
    "quoted",
)
CAPSTAN = Source("capstan", "the capstan equation of a cable over a rough drum (in any text on statics)", "computed")

US_STANDARD_ATMOSPHERE_1976 = Source(
    "US Standard Atmosphere 1976", "U.S. Standard Atmosphere, 1976, NOAA/NASA/USAF, Washington, 1976", "quoted"
)
ISO_2533 = Source("ISO 2533", "ISO 2533:1975, Standard atmosphere", "quoted")
SMITHSONIAN_1951 = Source(
    "Smithsonian 1951", "R. J. List, Smithsonian Meteorological Tables, 6th revised edition, 1951", "quoted"
)
FAA_H_8083_25 = Source("FAA-H-8083-25", "FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge", "quoted")
BUCK_1981 = Source(
    "Buck 1981",
    "A. L. Buck, New equations for computing vapor pressure and enhancement factor, J. Appl. Meteor. 20, 1981, 1527",
    "quoted",
)
CODATA_2018 = Source("CODATA 2018", "CODATA recommended values of the fundamental constants, 2018", "memory")
AIRSPEED_EQUATION = Source(
    "airspeed equation",
    "compressible Bernoulli equation of the pitot tube, by which airspeed indicators are calibrated (in any text on "
    "flight instruments)",
    "computed",
)
GAGG_FERRAR_1934 = Source(
    "Gagg & Ferrar 1934",
    "R. F. Gagg and E. V. Ferrar, Altitude performance of aircraft engines, SAE Journal 34, 1934",
    "quoted",
)
SAE_J1349 = Source("SAE J1349", "SAE J1349 (1990), Engine power test code", "quoted")
NACA_TN_2318 = Source(
    "NACA TN 2318",
    "R. D. Harrington, Full-scale-tunnel investigation of the static-thrust performance of a coaxial "
    "helicopter rotor, NACA TN 2318, 1951",
    "read",
)
MOMENTUM_THEORY = Source(
    "momentum theory", "Rankine-Froude momentum theory of the actuator disk (in any rotor text)", "computed"
)
BLADE_ELEMENT_THEORY = Source(
    "blade element theory", "blade element theory with constant section drag (in any rotor text)", "computed"
)
NACA_TN_626 = Source(
    "NACA TN 626",
    "M. Knight and R. A. Hefner, Static thrust analysis of the lifting airscrew, NACA TN 626, 1937",
    "quoted",
)
NACA_TN_2474 = Source(
    "NACA TN 2474",
    "W. Castles and R. B. Gray, Empirical relation between induced velocity, thrust, and rate of descent of a "
    "helicopter rotor, NACA TN 2474, 1951",
    "read",
)
NASA_TM_81232 = Source(
    "NASA TM-81232",
    "F. X. Caradonna and C. Tung, Experimental and analytical studies of a model helicopter rotor in hover, "
    "NASA TM-81232, 1981",
    "read",
)
CHEESEMAN_BENNETT_1955 = Source(
    "Cheeseman & Bennett 1955",
    "I. C. Cheeseman and W. E. Bennett, The effect of the ground on a helicopter rotor in forward flight, "
    "ARC R&M 3021, 1955",
    "quoted",
)
HAYDEN_1976 = Source(
    "Hayden 1976",
    "J. S. Hayden, The effect of the ground on helicopter hovering power required, 32nd annual forum of the American "
    "Helicopter Society, 1976",
    "memory",
)
GLAUERT = Source(
    "Glauert", "H. Glauert's momentum theory of the rotor in forward flight (in any rotor text)", "computed"
)
PRANDTL_TIP_LOSS = Source("Prandtl", "Prandtl's tip-loss factor (in any rotor or propeller text)", "memory")
PRANDTL_GLAUERT = Source(
    "Prandtl-Glauert", "Prandtl-Glauert rule of subsonic lift (in any aerodynamics text)", "computed"
)
LOCK_KORN = Source(
    "Lock & Korn",
    "Lock's fourth-power drag rise with Korn's drag-divergence Mach number (in texts on wing drag)",
    "quoted",
)
GUPTA_ENGINES = Source("Gupta", "H. N. Gupta, Fundamentals of Internal Combustion Engines", "quoted")
MATHUR_SHARMA = Source("Mathur & Sharma", "M. L. Mathur and R. P. Sharma, Internal Combustion Engines", "quoted")
CHOKED_FLOW = Source(
    "nozzle flow", "isentropic flow of a perfect gas through a nozzle (in any text on gas dynamics)", "computed"
)
FAN_LAWS = Source("fan laws", "affinity laws of fans (in any text on fans)", "computed")
COWLING = Source(
    "Thorp", "J. Thorp, Cowling and cooling of light aircraft engines (homebuilders' article, copied)", "read"
)
ASTM_D1250 = Source("ASTM D1250", "ASTM D1250 table 54B, generalized products (gasoline)", "memory")
ROTORCRAFT_DESIGN_NOTES = Source("design notes", "rotorcraft design notes (autorotation guidelines)", "quoted")
KHURMI_GUPTA = Source("Khurmi & Gupta", "R. S. Khurmi and J. K. Gupta, Theory of Machines", "quoted")
JINDAL = Source("Jindal", "U. C. Jindal, Machine Design", "quoted")
HERTZ = Source("Hertz", "Hertz's line contact (in any text on advanced mechanics of materials)", "computed")
MACHINE_DESIGN = Source(
    "machine design", "textbook relation of friction drives and brakes (in any text on machine design)", "computed"
)
ISO_281 = Source("ISO 281", "ISO 281, Rolling bearings: dynamic load ratings and rating life", "quoted")
SHAFT_TORSION = Source("torsion", "torsion of round bars and tubes (in any text on strength of materials)", "computed")
UNIVERSAL_JOINT = Source(
    "universal joint", "kinematics of the universal joint (in any text on theory of machines)", "computed"
)
VIBRATION = Source("vibration", "linear vibration theory (in any vibration text)", "computed")
NELSON_MCVAUGH_1976 = Source(
    "Nelson & McVaugh 1976",
    "H. D. Nelson and J. M. McVaugh, The dynamics of rotor-bearing systems using finite elements, ASME Journal of "
    "Engineering for Industry 98, 1976",
    "quoted",
)
EPPS_CHANDRA_1996 = Source(
    "Epps & Chandra 1996",
    "J. J. Epps and R. Chandra, The natural frequencies of rotating composite beams with tip sweep, Journal of the "
    "American Helicopter Society 41, 1996",
    "quoted",
)
BELT_MAKERS = Source("belt makers", "belt makers' manuals (tensioning of V-belts)", "read")
BEVAN = Source("Bevan", "T. Bevan, The Theory of Machines", "quoted")
VAUGHAN_BALANCING = Source(
    "Vaughan",
    "J. Vaughan, Static and dynamic balancing using portable measuring equipment, application note 17-227",
    "quoted",
)
GOODMAN_1964 = Source(
    "Goodman 1964",
    "T. P. Goodman, A least-squares method for computing balance corrections, J. Eng. Industry 86, 1964",
    "quoted",
)
ISO_21940_11 = Source(
    "ISO 21940-11",
    "ISO 21940-11:2016, Mechanical vibration: rotor balancing, part 11: procedures and tolerances for rotors with "
    "rigid behaviour (formerly ISO 1940-1)",
    "quoted",
)
SINE_MOTION = Source("sine motion", "the derivatives of a sine (in any text on vibration)", "computed")
