"""The old purlins of one roof: sections from readings, strength at every critical point, ratios line by line."""
