"""The clinical safety file: what could harm her, what holds it, by which tests, what is left."""
