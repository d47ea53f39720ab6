"""Her own phone: the one-use code, the address that a phone can reach, and the code's picture."""
