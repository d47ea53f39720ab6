"""One week of a program: its parts, its minutes, its words, its document."""
