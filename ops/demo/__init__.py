"""A demonstration county of our own invention: every name, place, person and figure here is made up.

`seed.seed_county` builds it from one seed and one date, so the same seed and date give the same county.
"""
