"""Track and balance of the rotors."""

from rotorkit.balance.track import flapping_difference, track_spread

__all__ = ["flapping_difference", "track_spread"]
