"""What whoever packs is reminded of, wherever a carton is cut or a parcel lifted; local rules come first."""

CUTTING = (
    "Cut away from yourself and over nothing but the bench, with a guarded knife and a fresh blade; "
    "your own workplace's rules come first."
)
# Common practice, no source.
TELESCOPING = (
    "Open one end of each carton and slide one over the other by at least the overlap stated. Tape all round the joint "
    "and along it. The joint bends before a carton does: try one closed parcel first, and take another way for heavy "
    "goods and for glass. The carrier's and the carton maker's rules come first."
)
LIFTING = (
    "Lift close to the body with bent knees, and do not twist. Your own workplace's rules and your doctor's come first."
)
TWO_PEOPLE = "Heavy: lift it with two people or an aid."
ON_END = "Never stand it on end: its longest side lies."
VERTICAL = "Only the {} may be vertical."
