"""Words of column headers in eight languages, each under the trade word that it means.

From general usage and from the vocabularies of trade and transport (UN/CEFACT, GS1, CMR waybills), never from the
export of a program. A line is `trade word: header words`, all in small letters without accents, or
`= word: trade words` for one written word that says two things. A word may stand under several trade words: its header
settles what it means. The trade words themselves are English and need no line of their own.
"""

from models.packaged import packaged

NAMES = ("english", "german", "french", "spanish", "italian", "portuguese", "dutch", "polish")
LANGUAGES = tuple(packaged(f"column_map/languages/{name}.txt") for name in NAMES)
