"""How a question of a form is shown."""
