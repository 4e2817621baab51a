"""Decisions on plain values; every refusal is a sentence. No framework, no clock."""
