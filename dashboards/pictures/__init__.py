"""One description of each figure, and the hands that draw it: SVG for the page, PNG for a letter, Plotly to explore."""

from dashboards.pictures.picture import Axis, Block, Kind, Limit, Mark, Picture, Scale, Tone

__all__ = ["Axis", "Block", "Kind", "Limit", "Mark", "Picture", "Scale", "Tone"]
