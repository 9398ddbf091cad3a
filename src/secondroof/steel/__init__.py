"""Cold-formed sections, member strength, screws and panel test statistics.

Pure calculation on numbers and arrays in kip, inch and ksi (spans of panel tests in feet, pressures in psf).
Every clause formula names its clause and says how it was checked; most of the AISI S100-16 clause text is
from memory until it is compared with the printed standard.
"""
