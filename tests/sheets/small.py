"""A small aircraft of the tests' own: three blades, a protractor that reads the other way, figures nobody flies by."""

import tomllib
from typing import Any

from rotorkit.aircraft import Aircraft

__all__ = ["small_aircraft"]

TEXT = """
[aircraft]
name = "Small one"
serial = "test"
builder = "nobody"
display = "us"

[main_rotor]
blades = ["red", "green", "blue"]
radius = "3.3 m"
chord = "16 cm"
speed = "470 rpm"
positive_blade_angle = "leading edge up"
protractor_reads_positive = "leading edge down"
measured_at = "grip"
figure_of_merit = "0.62"
induced_factor = "1.15"
profile_drag_coefficient = "0.010"
lowest_speed = "410 rpm"

[main_rotor.blade]
root_cutout = "50 cm"
twist = "-12 deg"
lift_slope = "5.73"
drag_constant = "0.0100"
drag_square = "0.4"
greatest_lift = "1.2"
inertia = "60 kg*m^2"
source = "test"

[main_rotor.limits]
low_stop = { low = "1 deg", high = "3 deg", source = "test" }
high_stop = { low = "12 deg", high = "16 deg", source = "test" }
travel = { low = "10 deg", high = "13 deg", source = "test" }

[tail_rotor]
blades = ["A", "B"]
radius = "60 cm"
chord = "11 cm"
speed = "2820 rpm"
positive_blade_angle = "leading edge away from the tail boom"
protractor_reads_positive = "leading edge away from the tail boom"
measured_at = "root"
arm = "4.2 m"
figure_of_merit = "0.55"

[drive]
engine_to_main_rotor = "5.5:1"
tail_to_main_rotor = "6:1"
efficiency = "93 %"
accessory_power = "2 kW"

[engine]
rated_power = "110 kW"
rated_speed = "2585 rpm"

[airframe]
flat_plate_area = "0.6 m^2"

[weights]
maximum = "640 kg"

[instruments.protractor]
title = "Protractor"
measures = "angle"
uncertainty = "0.1 deg"

[instruments.tachometer]
title = "Tachometer"
measures = "rotor speed"
uncertainty = "5 rpm"
"""


def small_aircraft(**changes: Any) -> Aircraft:
    """The aircraft; each change is a dotted place with ``__`` for the dot: ``engine__intake_rise="10 K"``."""
    tables = tomllib.loads(TEXT)
    for place, value in changes.items():
        *path, key = place.split("__")
        table = tables
        for name in path:
            table = table.setdefault(name, {})
        table[key] = value
    return Aircraft.model_validate(tables)
