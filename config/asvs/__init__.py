"""Security requirements: rows of OWASP ASVS 5.0, each with its verdict and its tests."""
