"""One fact, one number: what each surface states of a cell of the warehouse, read back from the surface itself."""
