"""Drawings: one scene of plan and section, written as SVG for the page and the papers, and as DXF."""
