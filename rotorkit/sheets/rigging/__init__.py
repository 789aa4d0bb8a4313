"""Sheets of rigging: blade angles, links and rods, control travel, cables and tubes."""
