"""rotorkit: figures for finishing a light helicopter, worked from raw readings, with units, limits and sources."""

from __future__ import annotations

__version__ = "0.1.0"
