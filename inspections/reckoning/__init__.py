"""Computes from rows or a snapshot, and saves nothing."""
