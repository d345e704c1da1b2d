"""What was planned: the freeze, budget and plan postings, and what moves them."""
