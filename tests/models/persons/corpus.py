"""Remarks on parcels, made up: with a name or street in them, and clean ones. All names are invented.

The clean ones are put together from what packers and adjusters write (common practice, no source), not from the words
that the program knows.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

_FIRST = """
Anna | Orla | Jens | Maëlle | Tomás | Giulietta | Zofia | Wilhelmina | Åsa | Quentin | Ravi | Ingeborg | Noé | Søren
| Ludmila | Jane
"""
_LAST = """
Mueller | Venn | Haldorsen | Quillfeather | Ibarrola | Casagrande | Wróblewska | Ostermann | O'Dowd | Lindqvist |
Fairweather | Pritchard | Dubreuil | Zieliński | Brattvold | Nakamura | Achterberg | Winterbourne | Núñez |
Kowalczyk
"""
_STREETS = """
12 Mill Lane | 7 Larkspur Road | 3a High Street | 118 Old Quarry Rd | 45 Heron Drive | 9 Saltmarsh Close | Lange
Straße 12 | Hauptstr. 5 | Kirchgasse 8a | Am Lindenhof 3 | Bahnhofweg 17 | Goetheplatz 2 | 14 rue des Tilleuls | 3
bis, chemin du Moulin | 27 boulevard Carnot | Calle Mayor 5 | Avenida del Puerto 31 | Via Garibaldi 12 | Kerkstraat
40 | Prinsengracht 112 | Storgatan 6 | Vesterbrogade 21 | ul. Długa 5 | 221 Willow Ave | 16 Orchard Ct | PO Box 118
"""
_WITH_NAME = """
end cap crushed, {who} says the tube is bent | ship to {who} | c/o {who} | Mr {last} called twice | {who} | signed
for by {who} | photos from {who} show a dent | attn {who}, leave at the door | gift for {who} | Frau {last} hat
angerufen | M. {last} refuse le colis | replacement for {who} goes out Monday | {last}, {first} | buyer {who} wants
a refund | Señora {last} dice que falta una pata | left with {who} next door
"""
_WITH_STREET = """
moved, now at {street} | {street} | delivered to {street} instead | wrong house, {street} is right | left at
{street}; box wet | please send the rest to {street} | neue Anschrift: {street} | adresse {street}
"""
_PARTS = """
end cap | tube | corner | long edge | bottom flap | focuser | leg clamp | spreader | mirror cell | dew shield | base
plate | counterweight shaft | handle | lid | inner box | foam block | side wall | label | eyepiece tray | dovetail
bar | finder shoe | slow-motion cable
"""
_HARM = """
crushed | bent | torn open | punctured | wet | missing | loose in the box | cracked through | scuffed | split at the
seam | not taped | dented about 3 in | pushed in 2 inches | rattling | broken off | snapped | out of line | stained
with oil | chipped in 2 places | bowed 1/2 in
"""
_WHY = """
no fill at the ends | only one layer of bubble wrap | paper at one end only | goods against the side wall | tape
came off | carton too large by 4 in | cut down to 9 in | dropped on its end | stacked under 40 lb | arrived upside
down | sent via ground | packed by bench 2 | photo shows 12 x 8 x 48 carton | driver left it in the rain | seen at
the hub | as in CL-0412 | same as last week | two of 3 corners | fell from the belt on the way | checked twice,
Monday | third one this month | inspector asks for photos
"""
_GERMAN = """
Endkappe eingedrückt | Karton an der Ecke gerissen | Rohr verbogen, Füllung fehlt | Boden offen, Klebeband gelöst |
Spiegel lose | Kunde lehnt ab | Stativ zerkratzt, 2 Beine krumm | nass geworden im Lager | Kappe fehlt, Rohr 3 cm
verschoben
"""
_ROMANCE = """
coin écrasé, tube tordu | pas de mousse au bout | carton mouillé, étiquette illisible | bouchon cassé, 2 vis perdues
| falta una pata | caja abierta por un lado | tubo doblado 3 cm | scatola schiacciata su un angolo | manca il tappo
| doos gescheurd, buis krom
"""


def _reported(block: str) -> tuple[str, ...]:
    return tuple(" ".join(each.split()) for each in block.split("|"))


FIRST, LAST, STREETS, WITH_NAME, WITH_STREET = map(_reported, (_FIRST, _LAST, _STREETS, _WITH_NAME, _WITH_STREET))
PARTS, HARM, WHY, GERMAN, ROMANCE = map(_reported, (_PARTS, _HARM, _WHY, _GERMAN, _ROMANCE))


@dataclass(frozen=True)
class Remark:
    """A remark and the person it is about."""

    text: str
    name: str
    street: str


def remarks(count: int, seed: int) -> list[Remark]:
    """With a name or a street in each, in some the case or the accents of a hasty typist."""
    chance = random.Random(seed)
    return [_remark(chance) for _ in range(count)]


def _remark(chance: random.Random) -> Remark:
    first, last, street = chance.choice(FIRST), chance.choice(LAST), chance.choice(STREETS)
    template = chance.choice(WITH_NAME if chance.random() < 0.5 else WITH_STREET)
    text = template.format(who=f"{first} {last}", first=first, last=last, street=street)
    return Remark(text.lower() if chance.random() < 0.2 else text, f"{first} {last}", street)


def clean(count: int, seed: int) -> list[str]:
    """Without anybody in them; one in eight in another language, some beginning with a capital or in capitals."""
    chance = random.Random(seed)
    return [_written(_clean(chance), chance) for _ in range(count)]


def _clean(chance: random.Random) -> str:
    if chance.random() < 0.125:
        return chance.choice([*GERMAN, *ROMANCE])
    reported = [f"{chance.choice(PARTS)} {chance.choice(HARM)}" for _ in range(chance.randint(1, 2))]
    return chance.choice([", ", "; ", " and "]).join([*reported, *chance.sample(WHY, chance.randint(0, 2))])


def _written(text: str, chance: random.Random) -> str:
    style = chance.random()
    if style < 0.1:
        return text.upper()
    if style < 0.15:
        return text.title()
    return text[0].upper() + text[1:] if style < 0.6 else text


# Written apart from the rules, to measure them: another hand's way of writing. Names after `spoke to` and initials were
# the only rules added after these had been tried.
HELD_OUT_PERSONS = (
    *(
        "Box arrived squashed. Thanks, Bettina Karlström",
        "please redirect to Unit 4, 88 Foundry Street",
        "NOT HOME - neighbour Mr Tavish took it",
    ),
    *(
        "left in porch of 15 Juniper Crescent",
        "herr Blaschke meldet sich wieder",
        "recipient Oyelaran refused",
        "Paket bei Familie Stuber abgegeben",
    ),
    *(
        "returned by Celestine Moreau, tube ok",
        "sig. Bentivoglio vuole il rimborso",
        "Rua das Flores 23 nao existe",
        "Lindenstraße 9: niemand da",
    ),
    *(
        "spoke to Priyanka about the dent",
        "tel. with Hollis Grantham 4 pm",
        "sent twice to 6 Cobbler's Yard",
        "adresse: 8 allée des Pins",
    ),
    *(
        "Kundin Frau Dr. Sommerlatte",
        "deliver to J. Abernathy next time",
        "customer Dvorak: foam was wet",
        "for Thandiwe",
        "mme Rousselot a signé",
    ),
)
HELD_OUT_CLEAN = (
    *(
        "Lower half of the carton soaked",
        "Great packing, nothing to say",
        "Optical tube rolled inside carton",
        "Foam too soft for 30 lb mount",
    ),
    *(
        "Rocker base delaminated",
        "Photos unclear",
        "see photo 3",
        "Box fine, goods broken",
        "Carton was resealed with brown tape",
    ),
    *(
        "Tripod legs wrapped together; paint chipped",
        "Probably run over by a forklift",
        "no visible damage outside",
        "Kraft paper slipped down",
    ),
    *(
        "Bent at 12 inches from the top",
        "Double wall carton held",
        "Velcro strap failed",
        "Buyer kept it, partial refund",
        "Collimation off",
    ),
    *(
        "Adjuster said packing was adequate",
        "Seitenwand durchstoßen",
        "Ein Bein abgeknickt",
        "Okularauszug klemmt",
        "Sans calage",
        "rayures sur le tube",
    ),
    *(
        "Esquina golpeada",
        "espejo suelto",
        "2 of 6 bolts sheared",
        "Hold at location, then crushed",
        "Heat damage, adhesive melted",
    ),
    *(
        "Arrived in a polybag",
        "Conveyor jam at sort",
        "Secondary mirror holder cracked",
        "Packing slip missing",
        "UPS and depot both deny it",
    ),
)
