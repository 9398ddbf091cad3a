"""Purlin lines: continuous beams with laps, ponding, and how a line feels underfoot. Numbers and arrays only."""
