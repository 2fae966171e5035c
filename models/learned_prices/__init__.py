"""Prices learned from a carrier's bills where a shop has no price list: pooled, not falling, with their intervals."""
