"""Who works here: what each role may do, what makes a password hard to guess."""
