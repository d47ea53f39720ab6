"""A program as signed: its text, its digest, and how it is read back."""
