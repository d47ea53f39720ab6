"""Settings, sign-in, middleware and the addresses of all pages."""
