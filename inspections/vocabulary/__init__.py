"""Closed lists of inspection, rating and reminder words."""
