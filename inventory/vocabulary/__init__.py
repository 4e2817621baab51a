"""Closed lists in the trade's own terms. Standard library only: rules and kernel read them too."""
