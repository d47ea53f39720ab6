"""How limits, steps still open and papers are shown."""
