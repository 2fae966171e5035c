"""Dutch header words."""

WORDS = """
sale: bestel bestelling bestellingen verkoop
sold: aankoop verkocht verkoop
number: nummer
line: regel regelnr
date: datum dag
channel: kanaal
type: soort
stock: voorraad
quantity: aantal hoeveelheid
unit: stuks
price: prijs
postage: verzending verzendkosten verzend
fee: commissie
customer: klant
destination: bestemming
carton: doos dozen
from: vanaf
inside: binnen binn
outside: buiten
length: lengte
width: breedte
height: hoogte
side: zijde
thickness: dikte
cost: kosten kost
cut: snij gesneden
parcel: pakket zending
shipment: zending
packed: ingepakt verpakking
shipped: verzonden verzend
carrier: vervoerder
declared: verzekerd
value: waarde
weight: gewicht
tare: tarra leeg
overlap: overlapping
minutes: minuten
invoice: factuur
billed: gefactureerd
charge: toeslag
description: omschrijving
amount: bedrag
reference: referentie
claim: klacht
opened: melding gemeld
cause: reden
state: status
filed: ingediend
decided: besloten
damaged: beschadigd
part: onderdeel
evidence: bewijs
claimed: geeist
granted: toegekend
paid: betaald
refund: terugbetaling
replacement: vervanging
return: retour
material: materiaal
fragile: breekbaar
= stuksprijs: unit price
= verzenddatum: shipped date
title: titel
voided: geannuleerd
insured: verzekerd
first: eerste
created: aangemaakt
promised: beloofd
steps: stappen instructies
counted: geteld telling
lead: levertijd
bundle: bundel verpakkingseenheid
"""
