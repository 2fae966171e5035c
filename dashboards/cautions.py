"""What whoever packs is reminded of, wherever a carton is cut or a parcel lifted; local rules come first."""

from __future__ import annotations

CUTTING = (
    "Cut away from yourself and over nothing but the bench, with a guarded knife and a fresh blade; "
    "your own workplace's rules come first."
)
LIFTING = (
    "Lift close to the body with bent knees, and do not twist. Your own workplace's rules and your doctor's come first."
)
TWO_PEOPLE = "Heavy: lift it with two people or an aid."
ON_END = "Never stand it on end: its longest side lies."
VERTICAL = "Only the {} may be vertical."
