"""Forms of the inspections room: they shape and parse what was typed and never save."""
