"""Plan geometry of a roof: planes, lines, wind zones, stretches."""
