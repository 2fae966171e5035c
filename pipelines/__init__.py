"""What is done: reading, landing, building, sending; time and orchestration; the command line."""
