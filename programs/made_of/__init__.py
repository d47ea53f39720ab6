"""What the product is made of: packages, scripts and typefaces of others, each with its licence."""
