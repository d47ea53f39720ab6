"""Dates in English: typed year first, shown with the name of the month."""
