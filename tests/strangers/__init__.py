"""A stranger's files: made from the data dictionary and published standards, without a look at how they are read.

Each file comes with an oracle that says of each of its rows which records may be stored. Nothing here imports what
reads cells, or is changed so that a reading passes: where the two disagree, one is wrong about the contract.
"""
