"""Sheets on weighing and loading."""
