"""Who she is and what is known of her: facts, files, scanners. Knows no other app."""
