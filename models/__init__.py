"""What is true: contracts, SQL models and pure computation. No files, clock, network or orchestration."""
