"""Requests of the inspections room: each becomes one action or query."""
