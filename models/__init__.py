"""What is true: contracts, SQL models and pure computation. No files, clock, network or orchestration."""

import sys

# Where PySpark is installed, pandera loads its pandas twin at import: a second lost, and a warning that it does not
# know pandas 3. Dunnage never uses that twin, so the import is told that it is not there.
sys.modules.setdefault("pyspark.pandas", None)  # type: ignore[arg-type]
