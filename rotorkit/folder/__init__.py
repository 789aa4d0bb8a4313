"""The builder's working folder: its aircraft file, its readings file, its notebooks."""

from rotorkit.folder.checks import READINGS_FILE, Check, Folder

__all__ = ["READINGS_FILE", "Check", "Folder"]
