"""From source files to typed, checked rows: found, read, archived, landed or rejected."""
