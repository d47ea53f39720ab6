"""Programs: drafted, edited, signed, printed, logged, reviewed; reads patients and safety."""
