"""Plates: the clinic's register, whether one fits a person, and what was measured on it."""
