"""The machine it runs on: its folder, key, disk and clock; copies of the database and back."""
