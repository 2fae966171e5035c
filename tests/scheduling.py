"""Which tests one process of a run does: those of a file, and all that need Spark, whose engine starts once then."""

from __future__ import annotations

from xdist.scheduler import LoadFileScheduling

# Folders whose files share what is dear to start: a Java machine takes ten seconds until it is warm.
TOGETHER = ("tests/pipelines/build/spark/",)


class ByEngine(LoadFileScheduling):
    """xdist's schedule by files, in which some folders are one file."""

    def _split_scope(self, nodeid: str) -> str:
        file: str = super()._split_scope(nodeid)
        return next((folder for folder in TOGETHER if file.startswith(folder)), file)
