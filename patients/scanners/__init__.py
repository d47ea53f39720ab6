"""The error of measurement of a density scanner, and the studies it comes from."""
