"""Drawings of what was found and what it means, as SVG text: to scale, escaped, presentation attributes only."""
