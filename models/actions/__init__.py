"""What to do next: actions found in the tables of the review, ranked, their savings shared where they overlap."""
