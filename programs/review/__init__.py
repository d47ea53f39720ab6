"""What the log leads to: adherence, a proposed revision, where to take up, what is due."""
