"""Shops whose true demand is known, to hold advice to what followed: nothing in here is reckoned by the program."""
