"""The proposal of a column map: from headers in several languages, from what the values prove, with reasons."""

from models.column_map.kinds import best_kind, nearest_kind
from models.column_map.pairing import Pairing, Sample
from models.column_map.proposal import Proposal, propose

__all__ = ["Pairing", "Proposal", "Sample", "best_kind", "nearest_kind", "propose"]
