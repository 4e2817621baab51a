"""Geographic files in."""
