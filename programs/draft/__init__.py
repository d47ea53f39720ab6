"""The draft: what each kind asks for in each week, on which days, and what fits."""
