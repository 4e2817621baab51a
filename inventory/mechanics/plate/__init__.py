"""Orthotropic plate analysis of decks: kept for a later issue.

Until it stands, decks are rated with the published distribution widths of ``distribution`` and the pressure a
stress-laminated deck needs is the larger of the value the engineer enters and the 40 psi floor.
"""
