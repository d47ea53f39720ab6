"""Beside the exercise: what each prompt asks and says, and what she said of a kind of loading."""
