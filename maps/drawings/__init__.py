"""Drawings made on the server as SVG text: no style attributes, so that the page's policy needs no exception."""
