"""Forms in which facts are asked for, made from their declarations."""
