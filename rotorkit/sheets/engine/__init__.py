"""Sheets on the engine on the ground."""
