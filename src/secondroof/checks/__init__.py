"""Checks, findings and the cards printed from them."""
