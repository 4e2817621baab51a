"""The kernel: mechanics of timber spans in inches and pounds.

Plain Python, numpy and scipy; no framework, clock, file, log or random number. Frozen dataclasses go in and come
out; a value outside the range of a rule raises ``OutsideValidity``. Floors, top to bottom: rating > distribution,
bars > plate, beam > section, vehicle > material > tables > trace, errors. Callers use ``inventory.mechanics.rating``.
"""
