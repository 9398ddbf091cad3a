"""Loads acting on one roof: survey, ground rules and recover joined to the pure load calculations."""
