"""The sections of a shop's dunnage.toml, the types that hold them, and how a refusal is worded."""
