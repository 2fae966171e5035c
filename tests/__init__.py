"""Tests of every room, and the benchmarks.

Sums over matrices of a few dozen rows are done by one thread, as the command line asks (pipelines/cli.py): threads that
wait for each other took four times the processor in tests of the damage model. It must be said before numpy is loaded.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
