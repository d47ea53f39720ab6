"""Two drafts beside each other: what-if questions, and ways to fit the week into her days."""
