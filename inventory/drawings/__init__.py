"""Drawings of a structure to scale from its own numbers, as SVG text. Pure: frozen shapes in, text out."""
