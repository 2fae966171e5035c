"""Reads files of every format into rows of text. Shared, like settings and the warehouse: intake imports what is read
here, and the column map is proposed from it, so that both read a file alike."""
