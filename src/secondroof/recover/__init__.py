"""Recovers: framing kinds, the hold-down chain, weight."""
