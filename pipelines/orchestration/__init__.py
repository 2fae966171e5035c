"""What runs without a person: the orchestrator's record, and processes that end with their parent."""
