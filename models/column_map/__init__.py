"""The proposal of a column map: from headers in several languages, from what the values prove, with reasons."""

from models.column_map.answers import Answers
from models.column_map.kinds import nearest_kind, stock_numbers
from models.column_map.pairing import Pairing, Sample
from models.column_map.proposal import Proposal, propose
from models.column_map.questions import Question, foreign_amounts, open_questions
from models.column_map.row_tax import RowTax, found_tax, stated_tax
from models.column_map.three_sides import ThreeSides, parted
from models.column_map.wide_amounts import WideAmounts, found_amounts

__all__ = [
    "Answers",
    "Pairing",
    "Proposal",
    "Question",
    "RowTax",
    "Sample",
    "ThreeSides",
    "WideAmounts",
    "foreign_amounts",
    "found_amounts",
    "found_tax",
    "nearest_kind",
    "open_questions",
    "parted",
    "propose",
    "stated_tax",
    "stock_numbers",
]
