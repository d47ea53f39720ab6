"""The pages of the safety screen and of the risks."""
