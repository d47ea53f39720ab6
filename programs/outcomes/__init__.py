"""Does it work here: what came of all programs of the clinic, counted without names."""
