"""The rulebook: one file per subject, all rules in one table."""
