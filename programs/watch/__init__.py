"""Evidence watch: the papers that the product rests on, how each stands, what rests on it."""
