"""The ranges that the functions of this room accept: where the theory holds, and what is credible on a field."""

from __future__ import annotations

# Bounds of the troposphere in each of its measures, rounded outward so that the end points themselves are accepted.
TROPOSPHERE = ("-5000 m", "11000 m")
TROPOSPHERE_PRESSURE = ("22632 Pa", "177688 Pa")
TROPOSPHERE_DENSITY = ("0.3639 kg/m^3", "1.9305 kg/m^3")
# Nothing credible lies outside: the highest and lowest sea-level pressures on record are about 1084 and 870 hPa
# (from memory), and dry land lies between about -430 m and 8850 m.
ALTIMETER_SETTING = ("25.5 inHg", "32.5 inHg")
FIELD_ELEVATION = ("-500 m", "9000 m")
AIR_TEMPERATURE = ("-75 degC", "60 degC")
VAPOUR_TEMPERATURE = ("-40 degC", "50 degC")
FRACTION = ("0", "1")
