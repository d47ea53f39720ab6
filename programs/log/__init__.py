"""What a day of the log holds, declared once; its cells, tables and files in and out."""
