"""Sheets of track and balance."""
