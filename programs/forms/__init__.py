"""Forms of the program's pages: edits, signature, paper, review, plates, clinic."""
