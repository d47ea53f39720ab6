"""All that writes plans, what was signed, papers, sessions and reviews."""
