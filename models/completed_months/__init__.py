"""What a month still lacks, expected from what months before it had: bills, parcels, claims, payments on claims."""
