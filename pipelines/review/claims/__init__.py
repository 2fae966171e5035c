"""The day of a claim: opened, shown, marked, proven by pictures, packed up for the carrier."""
