"""What may be known of a person: each fact declared once, in and out of documents, in words."""
