"""Commands for the shell: serve, draft, back up, first account, keeper, demo."""
