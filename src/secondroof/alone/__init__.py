"""Calculations asked for by name with plain numbers, where the room itself takes a record."""
