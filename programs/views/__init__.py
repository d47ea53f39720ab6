"""Pages of the plan, its edits, signature, paper, log and review, of plates and clinic."""
