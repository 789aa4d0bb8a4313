"""How the trade writes units: every spelling that is read, and the one that is written back.

Only these spellings are read. A spelling that means different things for different kinds (``lb`` a force or a mass,
``'`` a foot or an arcminute, ``°F`` a temperature or a difference) is resolved by the kind that is wanted.
"""

from __future__ import annotations

# registry unit -> (what is written back, spellings read besides it). A registry unit is a product such as "foot*pound".
SPELLINGS: dict[str, tuple[str, str]] = {
    "meter": ("m", "metre metres meter meters"),
    "millimeter": ("mm", "millimetre millimetres millimeter millimeters"),
    "micrometer": ("µm", "um μm micron microns micrometre micrometres micrometer micrometers"),
    "centimeter": ("cm", "centimetre centimetres centimeter centimeters"),
    "kilometer": ("km", "kilometre kilometres kilometer kilometers"),
    "inch": ("in", "inch inches in. \" ″ ” ''"),
    "foot": ("ft", "foot feet ft. ' ′ ’"),
    "yard": ("yd", "yard yards"),
    "mile": ("mi", "mile miles"),
    "nautical_mile": ("nmi", "NM nm"),
    "thou": ("thou", "thousandths"),
    "second": ("s", "sec secs second seconds"),
    "minute": ("min", "mins minute minutes"),
    "hour": ("h", "hr hrs hour hours"),
    "day": ("day", "days"),
    "radian": ("rad", "radian radians"),
    "degree": ("deg", "° º degree degrees deg."),
    "turn": ("turn", "turns rev revs revolution revolutions"),
    "revolutions_per_minute": ("rpm", "r.p.m."),
    "turn/second": ("rev/s", "rps"),
    "hertz": ("Hz", "hertz"),
    "kilohertz": ("kHz", ""),
    "newton": ("N", "newton newtons"),
    "kilonewton": ("kN", ""),
    "decanewton": ("daN", ""),
    "force_pound": ("lbf", ""),
    "force_kilogram": ("kgf", "kp"),
    "force_ounce": ("ozf", ""),
    "kilogram": ("kg", "kgs kilo kilos kilogram kilograms"),
    "gram": ("g", "gram grams"),
    "milligram": ("mg", ""),
    "pound": ("lb", "lbm"),
    "ounce": ("oz", ""),
    "slug": ("slug", "slugs"),
    "pascal": ("Pa", "pascal pascals"),
    "hectopascal": ("hPa", "mb mbar millibar millibars"),
    "kilopascal": ("kPa", ""),
    "megapascal": ("MPa", ""),
    "gigapascal": ("GPa", ""),
    "bar": ("bar", "bars"),
    "pound_force_per_square_inch": ("psi", "psia"),
    "force_pound/foot**2": ("lbf/ft^2", "psf"),
    "inch_Hg": ("inHg", "inhg in.Hg"),
    "millimeter_Hg": ("mmHg", "mmhg"),
    "inch_H2O": ("inHOH", ""),
    "millimeter_H2O": ("mmHOH", ""),
    "centimeter_H2O": ("cmHOH", ""),
    "knot": ("kt", "kts kn knot knots"),
    "mile/hour": ("mph", ""),
    "kilometer/hour": ("km/h", "kmh kph"),
    "foot/second": ("ft/s", "fps"),
    "foot/minute": ("ft/min", "fpm"),
    "inch/second": ("in/s", "ips IPS"),
    "watt": ("W", "watt watts"),
    "kilowatt": ("kW", "kilowatt kilowatts"),
    "horsepower": ("hp", "HP bhp shp BHP SHP horsepower"),
    "metric_horsepower": ("PS", ""),
    "joule": ("J", "joule joules"),
    "kilojoule": ("kJ", ""),
    "megajoule": ("MJ", ""),
    "british_thermal_unit": ("BTU", "Btu btu"),
    "kilowatt_hour": ("kWh", ""),
    "newton*meter": ("N*m", "Nm"),
    "kelvin": ("K", "kelvin kelvins"),
    "degree_Rankine": ("degR", "°R"),
    "gallon": ("gal", "gals gallon gallons"),
    "quart": ("qt", "quart quarts"),
    "liter": ("L", "l litre litres liter liters"),
    "milliliter": ("mL", "ml millilitre millilitres milliliter milliliters"),
    "fluid_ounce": ("floz", ""),
    "centimeter**3": ("cm^3", "cc"),
    "foot**3/minute": ("ft^3/min", "cfm CFM"),
    "gallon/hour": ("gal/h", "gph GPH"),
    "liter/hour": ("L/h", "lph"),
    "pound/hour": ("lb/h", "pph PPH"),
    "percent": ("%", "percent pct"),
    "ppm": ("ppm", ""),
    "dimensionless": ("", ""),
}

POUND_SPELLINGS = ("lb", "lbs", "lb.", "lbs.", "pound", "pounds", "#")
OUNCE_SPELLINGS = ("oz", "oz.", "ounce", "ounces")
FAHRENHEIT_SPELLINGS = ("°F", "degF", "ºF", "F", "fahrenheit", "Fahrenheit", "deg F")
CELSIUS_SPELLINGS = ("°C", "degC", "ºC", "C", "celsius", "Celsius", "deg C")

# what is refused by name, with what to type instead
REFUSED: dict[str, str] = {
    "mil": "'mil' is a thousandth of an inch to some and an angle to others: type thou (0.001 in) or deg",
    "mils": "'mils' is a thousandth of an inch to some and an angle to others: type thou (0.001 in) or deg",
    "ton": "there are several tons: type lb or kg",
    "tons": "there are several tons: type lb or kg",
    # small letters would make a thousandth of these
    "Mg": "'Mg' is a thousand kilograms: type kg, or mg for a milligram",
    "Mm": "'Mm' is a thousand kilometres: type km, or mm for a millimetre",
    "MG": "'MG' is a thousand kilograms to some: type kg, or mg for a milligram",
    "Mb": "'Mb' is a million bars: type hPa or mbar for a millibar",
    "Mbar": "'Mbar' is a million bars: type hPa or mbar for a millibar",
    **dict.fromkeys(
        ("imp", "imperial", "UK", "uk"),
        "imperial measures are not read, and gal is the US one: type litres (an imperial gallon is 4.54609 L)",
    ),
}

GREATEST: dict[str, float] = {
    "inch": 240, "foot": 30_000, "thou": 1_000, "millimeter": 10_000, "centimeter": 1_000, "meter": 10_000,
    "pound": 10_000, "kilogram": 4_000, "gram": 5_000, "ounce": 200,
    "force_pound": 20_000, "newton": 100_000, "decanewton": 10_000, "force_kilogram": 10_000, "force_ounce": 200,
    "foot*force_pound": 5_000, "force_pound*inch": 20_000, "meter*newton": 10_000,
    "degree": 720, "arcminute": 60, "revolutions_per_minute": 15_000, "hertz": 1_000,
    "horsepower": 1_000, "metric_horsepower": 1_000, "kilowatt": 1_000,
    "pascal": 200_000, "hectopascal": 1_100, "kilopascal": 1_000, "megapascal": 300_000, "gigapascal": 300, "bar": 250,
    "pound_force_per_square_inch": 400_000, "inch_Hg": 35, "millimeter_Hg": 800,
    "degree_Fahrenheit": 600, "degree_Celsius": 400, "delta_degree_Fahrenheit": 600, "delta_degree_Celsius": 400,
    "knot": 300, "mile/hour": 400, "kilometer/hour": 500, "foot/second": 2_000, "meter/second": 1_000,
    "foot/minute": 10_000, "inch/second": 100, "millimeter/second": 500, "foot^2*slug": 500, "kilogram*meter^2": 500,
    "pound/foot": 100, "kilogram/meter": 100, "kilogram/meter^3": 1_000, "pound/gallon": 20,
    "gallon/hour": 80, "liter/hour": 300, "liter/second": 500, "foot^2": 1_000, "meter^2": 100,
    "force_pound/delta_degree_Fahrenheit": 50, "newton/delta_degree_Celsius": 100,
    "gallon": 500, "liter": 1_000, "percent": 100, "": 999,
}  # fmt: skip
"""The greatest number that is met with a unit on and about a light helicopter, altitudes and strengths included (common
practice, no source). By it a comma or point that a continental writer means otherwise is asked about."""


def spelling_table() -> dict[str, str]:
    """Every spelling that means the same for all kinds, with its registry unit."""
    table = {}
    for unit, (written, others) in SPELLINGS.items():
        for spelling in [written, *others.split()]:
            if spelling:
                table[spelling] = unit
    return table


# what a registry unit is called when said back (the registry's own names that no spelling covers)
WRITTEN: dict[str, str] = {unit: written for unit, (written, _) in SPELLINGS.items()} | {
    "fluid_ounce": "fl oz",
    "inch_H2O": "inH2O",
    "millimeter_H2O": "mmH2O",
    "centimeter_H2O": "cmH2O",
    "arcminute": "arcmin",
    "arcsecond": "arcsec",
    "degree_Fahrenheit": "°F",
    "degree_Celsius": "°C",
    "delta_degree_Fahrenheit": "°F",
    "delta_degree_Celsius": "°C",
    "foot_pound": "ft·lbf",
    "standard_gravity": "g",
    "degree": "°",
}
