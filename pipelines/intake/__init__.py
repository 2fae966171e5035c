"""From source files to typed, checked rows: found, read, archived, imported or rejected."""
